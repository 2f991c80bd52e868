#include "html_text.hpp"
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/report/qr.hpp>
#include <memory>
#include <qrencode.h>

namespace lotwort::report {

namespace {

constexpr int quiet = 4; // light modules around the code

class Code {
public:
    explicit Code(std::string_view text)
        : code_(QRcode_encodeData(static_cast<int>(text.size()), reinterpret_cast<const unsigned char*>(text.data()), 0,
                                  QR_ECLEVEL_M),
                QRcode_free) {
        if (!code_)
            throw Error(ErrorKind::refused, fmt::format("{} bytes are too many for a QR code", text.size()),
                        "2,331 bytes are the most");
    }
    [[nodiscard]] int width() const { return code_->width; }
    // Dark: beyond its edges nothing is.
    [[nodiscard]] bool at(int x, int y) const {
        const bool inside = x >= 0 && y >= 0 && x < width() && y < width();
        return inside && (code_->data[y * width() + x] & 1U) != 0;
    }

private:
    std::unique_ptr<QRcode, decltype(&QRcode_free)> code_;
};

} // namespace

std::string qr_svg(std::string_view text, std::string_view says) {
    const Code code(text);
    std::string dark;
    for (int y = 0; y < code.width(); ++y)
        for (int x = 0, end = 0; x < code.width(); x = end + 1) {
            for (end = x; code.at(end, y);) ++end;
            if (end > x) dark += fmt::format("M{} {}h{}v1h-{}z", x + quiet, y + quiet, end - x, end - x);
        }
    const int side = code.width() + 2 * quiet;
    const std::string drawing = fmt::format("<rect width=\"{0}\" height=\"{0}\" fill=\"#fff\"/>"
                                            "<path d=\"{1}\" fill=\"#000\"/>",
                                            side, dark);
    return html::element("svg", drawing,
                         fmt::format("xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {0}\" class=\"qr\" "
                                     "role=\"img\" aria-label=\"{1}\" shape-rendering=\"crispEdges\"",
                                     side, html::escaped(says)));
}

std::string qr_terminal(std::string_view text) {
    const Code code(text);
    std::string out;
    for (int y = -quiet; y < code.width() + quiet; y += 2) {
        out += "\033[30;107m"; // black on bright white
        for (int x = -quiet; x < code.width() + quiet; ++x) {
            const bool upper = code.at(x, y), lower = code.at(x, y + 1);
            out += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
        }
        out += "\033[0m\n";
    }
    return out;
}

} // namespace lotwort::report

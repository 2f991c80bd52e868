#include "page.hpp"
#include <algorithm>
#include <lotwort/cli/embedded.hpp>

namespace lotwort::cli {

namespace {

constexpr std::string_view fence = "```", indent = "    ";

std::string_view without(std::string_view line, std::string_view mark) {
    return line.substr(std::min(mark.size(), line.size()));
}

class Page {
public:
    void take(std::string_view line) {
        if (line.starts_with(fence)) {
            if (!fenced_) begin(Block::Kind::code);
            fenced_ = !fenced_;
            open_ = false;
        } else if (fenced_) {
            blocks_.back().lines.push_back(line);
        } else if (line.empty()) {
            apart_ = true;
            open_ = false;
        } else if (line.starts_with('#')) {
            begin(Block::Kind::heading, line.substr(line.find_first_not_of("# ")));
            open_ = false;
        } else if (line.starts_with("- ")) {
            begin(Block::Kind::item, without(line, "- "));
        } else if (!open_ && line.starts_with(indent)) {
            begin(Block::Kind::code, without(line, indent));
        } else if (!open_) {
            begin(line.starts_with("Usage: ") ? Block::Kind::usage : Block::Kind::paragraph, line);
        } else {
            const bool code = blocks_.back().kind == Block::Kind::code;
            blocks_.back().lines.push_back(code ? without(line, indent) : line);
        }
    }
    std::vector<Block> blocks() && { return std::move(blocks_); }

private:
    void begin(Block::Kind kind, std::string_view line) {
        begin(kind);
        blocks_.back().lines.push_back(line);
    }
    void begin(Block::Kind kind) {
        blocks_.push_back({kind, {}, apart_});
        apart_ = false;
        open_ = true;
    }

    std::vector<Block> blocks_;
    bool fenced_ = false, apart_ = false, open_ = false; // open: the next line may belong to the last block
};

} // namespace

std::vector<Block> blocks_of_page(std::string_view name) {
    const auto& pages = embedded_pages();
    const auto found = std::ranges::find(pages, name, [](const auto& page) { return std::string_view(page.name); });
    if (found == pages.end()) return {};
    Page page;
    for (std::string_view rest = found->text; !rest.empty();) {
        const auto end = std::min(rest.find('\n'), rest.size());
        page.take(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return std::move(page).blocks();
}

} // namespace lotwort::cli

#include "multipart.hpp"
#include <algorithm>

namespace lotwort::serve {

namespace {

constexpr std::size_t most_parts = 300, longest_header = 2000, longest_boundary = 70;

// The value of a parameter of a header's line: boundary=abc, name="x". Browsers write a quote in it as %22.
std::optional<std::string> parameter(std::string_view line, std::string_view name) {
    for (std::size_t at = line.find(';'); at != std::string_view::npos;) {
        std::size_t from = line.find_first_not_of(" \t", at + 1);
        if (from == std::string_view::npos) return std::nullopt;
        const std::size_t equals = line.find('=', from);
        if (equals == std::string_view::npos) return std::nullopt;
        const bool is_it = line.substr(from, equals - from) == name;
        std::size_t end = 0;
        const bool is_quoted = equals + 1 < line.size() && line[equals + 1] == '"';
        from = equals + (is_quoted ? 2 : 1);
        end = line.find(is_quoted ? '"' : ';', from);
        if (end == std::string_view::npos) {
            if (is_quoted) return std::nullopt;
            end = line.size();
        }
        if (is_it) return std::string(line.substr(from, end - from));
        at = line.find(';', end);
    }
    return std::nullopt;
}

std::string without_escapes(std::string name) {
    for (const auto& [escape, sign] : {std::pair("%22", "\""), {"%0D", ""}, {"%0A", ""}})
        for (auto at = name.find(escape); at != std::string::npos; at = name.find(escape)) name.replace(at, 3, sign);
    return name;
}

// The name that a part's header gives it.
std::optional<std::string> name_of(std::string_view header) {
    while (!header.empty()) {
        const std::size_t end = std::min(header.find("\r\n"), header.size());
        std::string line(header.substr(0, end));
        header.remove_prefix(std::min(end + 2, header.size()));
        const std::size_t colon = line.find(':');
        if (colon == std::string::npos) return std::nullopt;
        std::ranges::transform(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(colon), line.begin(),
                               [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 'a' - 'A') : c; });
        if (line.starts_with("content-disposition:") && line.find("form-data") != std::string::npos)
            if (auto name = parameter(line, "name")) return without_escapes(std::move(*name));
    }
    return std::nullopt;
}

std::string with_plain_line_ends(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] != '\r' || i + 1 == text.size() || text[i + 1] != '\n') out += text[i];
    return out;
}

} // namespace

std::optional<Fields> multipart_fields(std::string_view content_type, std::string_view body) {
    const auto boundary = parameter(content_type, "boundary");
    if (!boundary || boundary->empty() || boundary->size() > longest_boundary) return std::nullopt;
    const std::string first = "--" + *boundary, between = "\r\n" + first;
    if (!body.starts_with(first)) return std::nullopt;
    body.remove_prefix(first.size());
    Fields fields;
    for (std::size_t parts = 0; !body.starts_with("--"); ++parts) {
        if (parts == most_parts || !body.starts_with("\r\n")) return std::nullopt;
        body.remove_prefix(2);
        const std::size_t header = body.substr(0, longest_header).find("\r\n\r\n");
        if (header == std::string_view::npos) return std::nullopt;
        auto name = name_of(body.substr(0, header));
        body.remove_prefix(header + 4);
        const std::size_t end = body.find(between);
        if (!name || end == std::string_view::npos) return std::nullopt;
        fields.add(std::move(*name), with_plain_line_ends(body.substr(0, end)));
        body.remove_prefix(end + between.size());
    }
    return fields;
}

} // namespace lotwort::serve

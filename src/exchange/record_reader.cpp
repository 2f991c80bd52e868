#include "record_reader.hpp"
#include <lotwort/core/utf8.hpp>

namespace lotwort {

namespace {

std::string_view kind_text(const Document& document, std::uint32_t at) {
    switch (document[at].kind) {
    case NodeKind::null:
        return "null";
    case NodeKind::truth:
        return document[at].integer != 0 ? "true" : "false";
    case NodeKind::integer:
    case NodeKind::number:
        return "a number";
    case NodeKind::text:
        return "a text";
    case NodeKind::array:
        return "a list";
    case NodeKind::object:
        return "a record";
    }
    return "";
}

} // namespace

std::string RecordReader::plain(double number) {
    return std::abs(number) < 1e15 ? fmt::format("{:.15g}", number) : fmt::format("{}", number);
}

bool RecordReader::is_bare_number(std::string_view text) {
    return !text.empty() && text.find_first_not_of("0123456789+-.eE") == std::string_view::npos;
}

void RecordReader::wrong_kind(std::uint32_t at, std::string_view wanted) {
    const bool quoted_number = wanted.find("number") != std::string_view::npos &&
                               document_[at].kind == NodeKind::text && is_bare_number(document_.text(at));
    const bool has_unit =
        figures_ == Figures::by_hand && wanted == "a number" && document_[at].kind == NodeKind::text && !quoted_number;
    fault(at, fmt::format("{} where {} is due{}", kind_text(document_, at), wanted,
                          quoted_number ? "; write it without quotes"
                          : has_unit    ? "; a text with its unit stands under the name without one, mass = \"10lb\""
                                        : ""));
}

std::optional<double> RecordReader::number(std::uint32_t at, Range range, std::string_view hint) {
    const NodeKind kind = document_[at].kind;
    if (kind != NodeKind::integer && kind != NodeKind::number) {
        wrong_kind(at, "a number");
        return std::nullopt;
    }
    const double number = document_.number(at);
    if (!range.holds(number)) {
        fault(at, fmt::format("{} is outside {} to {}{}{}", plain(number), plain(range.least), plain(range.most),
                              hint.empty() ? "" : "; ", hint));
        return std::nullopt;
    }
    return number;
}

void RecordReader::value(std::uint32_t at, Range /*of numbers*/, std::string& out) {
    if (document_[at].kind != NodeKind::text) return wrong_kind(at, "a text in quotes");
    const std::string_view text = document_.text(at);
    if (text.empty()) return fault(at, "is empty");
    if (const auto hidden = find_hidden(text)) return fault(at, "holds " + hidden_words(*hidden));
    out = text;
}

void RecordReader::value(std::uint32_t at, Range range, double& out) {
    if (const auto read = number(at, range)) out = *read;
}

void RecordReader::value(std::uint32_t at, Range range, int& out) {
    constexpr std::numeric_limits<int> whole;
    const auto read =
        number(at, {std::max<double>(range.least, whole.min()), std::min<double>(range.most, whole.max())});
    if (!read) return;
    if (*read != std::floor(*read)) return fault(at, fmt::format("{} is no whole number", plain(*read)));
    out = static_cast<int>(*read);
}

void RecordReader::value(std::uint32_t at, Range /*of numbers*/, Date& out) {
    if (document_[at].kind != NodeKind::text) return wrong_kind(at, "a date in quotes, YYYY-MM-DD,");
    if (const auto day = parse_iso_date(document_.text(at)))
        out = *day;
    else
        fault(at, fmt::format("`{}` is no date; write YYYY-MM-DD, such as 2026-03-01", document_.text(at)));
}

void RecordReader::value(std::uint32_t at, Range range, Money& out) {
    const auto read = number(at, range);
    if (!read) return;
    const double minor = std::round(*read * 100.0);
    // a hundredth that went through binary arithmetic is still a hundredth
    if (std::abs(*read * 100.0 - minor) > 1e-4) return fault(at, fmt::format("{} has more than two decimals", *read));
    out.minor = std::llround(minor);
}

void RecordReader::value(std::uint32_t at, Range /*below*/, DipMark& out) {
    if (document_[at].kind != NodeKind::array || document_[at].size != 2)
        return wrong_kind(at, "a pair, [depth_cm, litres],");
    const auto depth = number(at + 1, {0.0, 2000.0});
    const auto volume = number(at + 2, {0.0, 1e6});
    if (depth && volume) out = {Centimetres(*depth), Litres(*volume)};
}

void RecordReader::amount(std::uint32_t at, Range range_kg, std::string_view name, Amount& out) {
    if (name == "count") {
        int pieces = 0;
        value(at, {range_kg.least, range_kg.most}, pieces);
        out = Amount::pieces(pieces);
        return;
    }
    const bool grams = name == "mass_g";
    const double per_kg = grams ? 1000.0 : 1.0;
    const auto read = number(at, {range_kg.least * per_kg, range_kg.most * per_kg});
    if (!read) return;
    out = name == "volume_l" ? Amount::of(Litres(*read))
          : grams            ? Amount::of(Grams(*read))
                             : Amount::of(Kilograms(*read));
}

std::string_view RecordReader::fault_of_name(std::string_view name) {
    constexpr std::size_t longest = 200;
    if (name.front() == ' ' || name.back() == ' ') return "begins or ends with a blank";
    if (name.size() > longest) return "is longer than 200 bytes";
    return {};
}

std::string RecordReader::path(std::string_view part) const {
    std::string path;
    for (const Step& step : path_) {
        if (step.name.empty())
            path += fmt::format("[{}]", step.index);
        else
            path += fmt::format("{}{}", path.empty() ? "" : ".", step.name);
    }
    if (!part.empty()) path += fmt::format("{}{}", path.empty() ? "" : ".", part);
    return path;
}

} // namespace lotwort

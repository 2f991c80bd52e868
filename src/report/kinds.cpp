#include <algorithm>
#include <array>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/kinds.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <optional>
#include <utility>

namespace lotwort::report {

namespace {

bool has_extract(const KindOfItem& kind) {
    return kind.kind == ItemKind::malt || kind.kind == ItemKind::sugar;
}

// A kind's figures under the names that the exchange file has for them; those that are not of it are left out.
struct Figure {
    std::string_view name;
    std::optional<double> value;
};

std::array<Figure, 11> figures_of(const KindOfItem& kind) {
    const Typical& typical = kind.typical;
    const auto of = [](bool has, double value) { return has ? std::optional(value) : std::nullopt; };
    const bool is_malt = kind.kind == ItemKind::malt, is_hop = kind.kind == ItemKind::hop, has = has_extract(kind);
    return {{{"extract_pct", of(has, typical.extract_fine_dry_pct)},
             {"extract_sd_pct", of(has, typical.extract_sd_pct)},
             {"moisture_pct", of(has, typical.moisture_pct)},
             {"moisture_sd_pct", of(has, typical.moisture_sd_pct)},
             {"colour_ebc", of(has, typical.colour_ebc)},
             {"colour_sd_ebc", of(has, typical.colour_sd_ebc)},
             {"diastatic_power_wk", of(is_malt, typical.diastatic_power_wk)},
             {"diastatic_power_sd_wk", of(is_malt, typical.diastatic_power_sd_wk)},
             {"alpha_pct", of(is_hop, typical.alpha_pct)},
             {"alpha_sd_pct", of(is_hop, typical.alpha_sd_pct)},
             {"max_share_pct", of(has, kind.max_share_pct)}}};
}

// A malt stands under its class, where that has some; a hop under its group.
std::string heading_of(const KindOfItem& kind, std::span<const KindOfItem> kinds) {
    if (kind.kind == ItemKind::malt)
        return std::ranges::count(kinds, kind.malt_class, &KindOfItem::malt_class) < 4 ? "other malts"
                                                                                       : std::string(kind.malt_class);
    return kind.kind == ItemKind::hop ? fmt::format("{} hop", kind.family) : std::string(word(kind.kind));
}

// In a list of malts "malt" says nothing, and the name is known without it.
std::string short_name(const KindOfItem& kind) {
    std::string name(kind.name);
    if (kind.kind == ItemKind::malt && name.ends_with(" malt")) name.resize(name.size() - 5);
    return name;
}

} // namespace

std::string kind_text(const KindOfItem& kind) {
    const Typical& typical = kind.typical;
    std::string text = fmt::format("{}: {}{}{}, {}\n", kind.name, kind.malt_class, kind.malt_class.empty() ? "" : " ",
                                   word(kind.kind), kind.family);
    const auto line = [&](std::string_view what, const std::string& value) {
        text += wrapped(fmt::format("  {:<16} {}", what, value), 19);
    };
    if (has_extract(kind)) {
        line("extract", with_sd(typical.extract_fine_dry_pct, typical.extract_sd_pct,
                                kind.kind == ItemKind::malt ? "% fine-dry" : "% dry"));
        line("moisture", with_sd(typical.moisture_pct, typical.moisture_sd_pct, "%"));
        line("colour", with_sd(typical.colour_ebc, typical.colour_sd_ebc, "EBC"));
    }
    if (kind.kind == ItemKind::malt)
        line("diastatic power", with_sd(typical.diastatic_power_wk, typical.diastatic_power_sd_wk, "WK"));
    if (has_extract(kind)) line("usual share", fmt::format("up to {} % of a grist", shortest(kind.max_share_pct)));
    if (kind.kind == ItemKind::hop) line("alpha acids", with_sd(typical.alpha_pct, typical.alpha_sd_pct, "%"));
    if (!kind.aroma.empty()) line("late and dry", fmt::format("stands in for others of its aroma: {}", kind.aroma));
    if (const auto likes = likes_of(kind); !likes.empty())
        line("first of them", fmt::format("{}", fmt::join(likes, ", ")));
    line("source", std::string(kind.source));
    if (!kind.also.empty()) line("also called", std::string(kind.also));
    return text;
}

std::string kinds_text(std::span<const KindOfItem> kinds) {
    std::vector<std::pair<std::string, std::string>> groups;
    for (const KindOfItem& kind : kinds) {
        const std::string heading = heading_of(kind, kinds);
        const auto known = std::ranges::find(groups, heading, &std::pair<std::string, std::string>::first);
        if (known == groups.end())
            groups.emplace_back(heading, short_name(kind));
        else
            known->second += ", " + short_name(kind);
    }
    std::string text;
    for (const auto& [heading, names] : groups) text += wrapped(fmt::format("{:<13} {}", heading, names), 14);
    return text + "figures and sources: lotwort item kinds NAME, or --csv\n";
}

std::string kinds_csv(std::span<const KindOfItem> kinds) {
    std::vector<std::string> header{"name", "kind", "class", "family", "aroma"};
    for (const Figure& figure : figures_of(kinds.front())) header.emplace_back(figure.name);
    header.insert(header.end(), {"source", "also"});
    std::string csv = csv_row(header);
    for (const KindOfItem& kind : kinds) {
        std::vector<std::string> row{std::string(kind.name), std::string(word(kind.kind)), std::string(kind.malt_class),
                                     std::string(kind.family), std::string(kind.aroma)};
        for (const Figure& figure : figures_of(kind)) row.push_back(figure.value ? shortest(*figure.value) : "");
        row.insert(row.end(), {std::string(kind.source), std::string(kind.also)});
        csv += csv_row(row);
    }
    return csv;
}

std::string kinds_json(std::span<const KindOfItem> kinds) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/kinds/1").key("kinds").begin_array();
    for (const KindOfItem& kind : kinds) {
        w.begin_object().field("name", kind.name).field("kind", word(kind.kind));
        if (!kind.malt_class.empty()) w.field("class", kind.malt_class);
        w.field("family", kind.family);
        if (!kind.aroma.empty()) w.field("aroma", kind.aroma);
        for (const Figure& figure : figures_of(kind))
            if (figure.value) w.field(figure.name, *figure.value);
        w.field("source", kind.source).key("also").begin_array();
        for (const std::string_view name : other_names(kind)) w.value(name);
        w.end_array().end_object();
    }
    w.end_array().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report

#include "lot_words.hpp"
#include <fmt/format.h>
#include <lotwort/core/estimate.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/lot.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string head_text(const LotAnswer& answer) {
    const Lot& lot = answer.state.lot;
    std::string text = fmt::format("{}: {}\n", lot.code, lot.item);
    const auto line = [&](std::string_view what, const std::string& value) {
        if (!value.empty()) text += fmt::format("  {:<14} {}\n", what, value);
    };
    line("received", fmt::format("{} on {}", on_the_scale(lot.received_amount), to_iso(lot.received)));
    line("supplier", lot.supplier.value_or(""));
    line("their lot", lot.supplier_lot.value_or(""));
    line("price", lot.price ? money_text(*lot.price, answer.currency) : "");
    line("best before", date_text(lot.best_before));
    line("crop", lot.crop_year ? std::to_string(*lot.crop_year) : "");
    line("kept at", lot.storage ? readable(lot.storage->value()) + " °C" : "");
    line("packed", date_text(lot.packed));
    line("packaging", lot.packaging.value_or(""));
    line("silo", lot.silo.value_or(""));
    line("opened", date_text(lot.opened));
    for (const Portion& source : lot.made_from)
        line("made from", fmt::format("{} of {}", to_text(source.amount), source.lot));
    line("harvested", lot.harvested_from ? fmt::format("from {}", *lot.harvested_from) : "");
    line("generation", lot.generation ? std::to_string(*lot.generation) : "");
    line("on hold", lot.held.value_or(""));
    std::string stock = fmt::format("{}, {} free", on_the_scale(answer.state.on_hand),
                                    lot.held ? "none" : on_the_scale(answer.state.free()));
    if (answer.state.promised.units != 0) stock += fmt::format(", {} promised", on_the_scale(answer.state.promised));
    if (answer.value) stock += ", worth " + money_text(*answer.value, answer.currency);
    line("on hand", stock);
    return text;
}

} // namespace

std::string analysis_text(const Certificate& c) {
    std::string text;
    const auto add = [&](const std::string& piece) { text += (text.empty() ? "" : ", ") + piece; };
    const auto number = [](const auto& value) { return readable(value->value()); };
    if (c.extract) add("extract " + extract_text(*c.extract, c.extract_basis));
    if (c.extract_sd) add("extract sd " + number(c.extract_sd));
    if (c.moisture) add("moisture " + number(c.moisture) + " %");
    if (c.moisture_sd) add("moisture sd " + number(c.moisture_sd) + " %");
    if (c.colour) add("colour " + number(c.colour) + " EBC");
    if (c.diastatic_power) add(number(c.diastatic_power) + " WK");
    if (c.protein) add("protein " + number(c.protein) + " %");
    if (c.alpha) add("alpha acids " + number(c.alpha) + " %");
    if (c.alpha_sd) add("alpha sd " + number(c.alpha_sd) + " %");
    if (c.hop_storage_index) add("storage index " + readable(*c.hop_storage_index));
    if (c.oil_ml_per_100g) add("oil " + readable(*c.oil_ml_per_100g) + " ml/100 g");
    if (c.analysed) add("analysed " + to_iso(*c.analysed));
    return text;
}

namespace {

// Pieces joined by commas, broken at them so that lines stay within the width.
std::string wrapped(const std::string& label, const std::string& text) {
    std::string out;
    std::string line = fmt::format("  {:<20} ", label);
    const std::string indent(line.size(), ' ');
    std::size_t at = 0;
    bool first = true;
    while (at < text.size()) {
        auto end = text.find(", ", at);
        end = end == std::string::npos ? text.size() : end + 2;
        const std::string piece = text.substr(at, end - at);
        if (!first && display_width(line) + display_width(piece) > line_width() + 1) {
            out += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
            line = indent;
        }
        line += piece;
        first = false;
        at = end;
    }
    return out + line + "\n";
}

std::string analyses_text(const Lot& lot) {
    std::string text = "\nAnalyses\n";
    text += lot.certificate ? wrapped("certificate", analysis_text(*lot.certificate)) : "  no certificate\n";
    for (const Retest& retest : lot.retests)
        text += wrapped("retest " + to_iso(retest.on), analysis_text(retest.found));
    return text;
}

std::string figure_text(std::string_view what, double value, double sd, std::string_view unit, Origin origin) {
    return fmt::format("  {:<20} {}, from {}\n", what, with_sd(value, sd, unit),
                       origin == Origin::typical ? "what is typical" : word(origin));
}

// What the cold room has left of the alpha acids; without a day of analysis no clock runs.
std::string hop_text(const HopAge& hop) {
    std::string text = figure_text("alpha acids", hop.alpha_pct.value, hop.alpha_pct.sd, "%", hop.alpha_pct.origin);
    if (hop.analysed && hop.days > 0)
        text +=
            fmt::format("  {:<20} {} % of the {} % there were on {}, {} ago\n", "", fixed(100.0 * hop.share_left, 0),
                        readable(hop.stated_pct.value), to_iso(*hop.analysed), counted(hop.days, "day"));
    if (!hop.analysed) text += fmt::format("  {:<20} not aged: the day of the analysis is not stated\n", "");
    if (hop.hsi) text += fmt::format("  {:<20} {}\n", "storage index", fixed(*hop.hsi, 2));
    for (const std::string& assumed : hop.assumed)
        text += report::wrapped(fmt::format("  {:<20} {}", "assumed", assumed), 23);
    return text;
}

std::string yeast_text(const YeastCells& cells, Amount on_hand) {
    const auto figure = [](double value) { return value < 10.0 ? fixed(value, 2) : fixed(value, 0); };
    std::string text = fmt::format("  {:<20} {} billion {}, {} % of {}; {} % a month die\n", "cells", figure(cells.now),
                                   unit_of_cells(on_hand.measure), fixed(100.0 * cells.now / cells.fresh, 0),
                                   readable(cells.fresh), readable(cells.loss_pct_per_month));
    return text + fmt::format("  {:<20} {} billion on hand, {} old\n", "", figure(cells_in(on_hand, cells.now)),
                              counted(cells.days, "day"));
}

std::string figures_text(const LotAnswer& answer) {
    if (!answer.fault.empty())
        return report::wrapped(fmt::format("\n{}: no brew can be reckoned with it. A retest mends it: lotwort lot {} "
                                           "--retest --extract 81% --basis fine-dry",
                                           answer.fault, shell_word(answer.state.lot.code)),
                               2);
    if (!answer.malt && !answer.hop && !answer.yeast) return "";
    std::string text = answer.says.empty() ? "\nIn use today\n" : "\nIn use then\n";
    const auto figure = [&](std::string_view what, const Figure& f, std::string_view unit, double scale = 1.0) {
        text += figure_text(what, scale * f.value, scale * f.sd, unit, f.origin);
    };
    if (answer.malt) {
        figure("extract, fine, dry", answer.malt->extract_fine_dry_pct, "%");
        figure("moisture", answer.malt->moisture_pct, "%");
        figure("extract as is", answer.malt->extract_as_is, "%", 100.0);
        if (answer.item.kind == ItemKind::malt) {
            figure("colour", answer.malt->colour_ebc, "EBC");
            figure("diastatic power", answer.malt->diastatic_power_wk, "WK");
        }
    }
    if (answer.hop) text += hop_text(*answer.hop);
    if (answer.yeast) text += yeast_text(*answer.yeast, answer.state.on_hand);
    return text;
}

std::string why_text(const Movement& movement) {
    std::string text = movement.reason.value_or("");
    if (movement.brew) text = *movement.brew + (movement.stage ? " " + std::string(word(*movement.stage)) : "");
    return text;
}

std::string movements_text(const std::vector<Movement>& movements) {
    Table table{{{"ON"}, {"KIND"}, {"CHANGE", Align::right}, {"BALANCE", Align::right}, {"WHY", Align::left, true}},
                {}};
    std::optional<Amount> balance;
    for (const Movement& m : movements) {
        balance = balance ? *balance + m.change : m.change;
        table.rows.push_back(
            {to_iso(m.on), std::string(word(m.kind)), on_the_scale(m.change), on_the_scale(*balance), why_text(m)});
    }
    return "\n" + table_text(table);
}

void figure_json(JsonWriter& w, std::string_view name, const Figure& figure, double scale = 1.0) {
    w.key(name).begin_object(JsonWriter::Layout::one_line);
    const Estimate e = normal_estimate(scale * figure.value, scale * figure.sd);
    w.field("value", e.value).field("sd", e.sd).field("low", e.low).field("high", e.high);
    w.field("origin", word(figure.origin));
    w.end_object();
}

void figures_json(JsonWriter& w, const LotAnswer& answer) {
    w.key("figures").begin_object();
    if (answer.malt) {
        figure_json(w, "extract_fine_dry_pct", answer.malt->extract_fine_dry_pct);
        figure_json(w, "moisture_pct", answer.malt->moisture_pct);
        figure_json(w, "extract_as_is_pct", answer.malt->extract_as_is, 100.0);
        figure_json(w, "colour_ebc", answer.malt->colour_ebc);
        figure_json(w, "diastatic_power_wk", answer.malt->diastatic_power_wk);
    }
    if (answer.hop) {
        figure_json(w, "alpha_pct", answer.hop->alpha_pct);
        figure_json(w, "alpha_stated_pct", answer.hop->stated_pct);
        w.field("alpha_analysed", answer.hop->analysed).field("hsi", answer.hop->hsi);
    }
    if (answer.yeast) {
        w.field("cells_billion", answer.yeast->now).field("cells_fresh_billion", answer.yeast->fresh);
        w.field("cells_since", answer.yeast->since).field("cells_loss_pct_per_month", answer.yeast->loss_pct_per_month);
    }
    w.end_object();
}

void movements_json(JsonWriter& w, const LotAnswer& answer) {
    w.key("movements").begin_array();
    std::optional<Amount> balance;
    for (const Movement& m : answer.movements) {
        balance = balance ? *balance + m.change : m.change;
        w.begin_object(JsonWriter::Layout::one_line).field("on", m.on).field("kind", word(m.kind));
        write_amount_field(w, "change", m.change);
        write_amount_field(w, "balance", *balance);
        if (const auto change = answer.changes.find(m.id.value_or("")); change != answer.changes.end())
            write_money_field(w, "value_change", change->second);
        w.field("reason", m.reason).field("brew", m.brew);
        if (m.stage) w.field("stage", word(*m.stage));
        w.end_object();
    }
    w.end_array();
}

} // namespace

std::string lot_text(const LotAnswer& answer) {
    std::string text =
        head_text(answer) + analyses_text(answer.state.lot) + figures_text(answer) + movements_text(answer.movements);
    for (const std::string& said : answer.says) text += "\n" + report::wrapped(said, 2);
    if (answer.booked) text += "\n" + booked_line(*answer.booked);
    return text;
}

std::string lot_csv(const LotAnswer& answer) {
    std::string csv = csv_row({"lot", "on", "kind", "unit", "change", "balance", "reason", "brew", "stage"});
    std::optional<Amount> balance;
    for (const Movement& m : answer.movements) {
        balance = balance ? *balance + m.change : m.change;
        csv += csv_row({answer.state.lot.code, to_iso(m.on), std::string(word(m.kind)), amount_unit(m.change),
                        amount_number(m.change), amount_number(*balance), m.reason.value_or(""), m.brew.value_or(""),
                        m.stage ? std::string(word(*m.stage)) : ""});
    }
    return csv;
}

std::string lot_json(const LotAnswer& answer) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/lot/1").key("lot");
    write_json(w, answer.state.lot);
    write_amount_field(w, "on_hand", answer.state.on_hand);
    write_amount_field(w, "promised", answer.state.promised);
    write_amount_field(w, "free",
                       answer.state.lot.held ? Amount{answer.state.on_hand.measure, 0} : answer.state.free());
    w.field("currency", answer.currency);
    if (answer.value) write_money_field(w, "value", *answer.value);
    figures_json(w, answer);
    movements_json(w, answer);
    if (!answer.says.empty()) w.field("says", answer.says);
    if (answer.booked) booked_fields(w, *answer.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report

#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/convert.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string with_unit(std::string text, const std::string& unit) {
    if (!unit.empty()) text += " " + unit;
    return text;
}

// The figure as its trade reads it, with its standard uncertainty where it has one.
std::string figure_text(double value, const std::optional<double>& sd, const std::string& shown, int decimals) {
    if (sd && *sd > 0.0) return with_sd(value, *sd, shown, decimals);
    return with_unit(fixed(value, decimals), shown);
}

std::string figure_text(const Converted& converted, const std::string& shown) {
    return figure_text(converted.value, converted.sd, shown, converted.decimals);
}

// Said where the straight line misleads, with what it would have said.
std::string first_order_text(const Converted& c) {
    if (!c.mean || !c.sd) return "first order is not enough here, and the second has no value\n";
    const int decimals = decimals_for(*c.sd);
    return wrapped(fmt::format("first order is not enough: it would say ± {}; the ± given is to second order, about a "
                               "mean of {}\n",
                               fixed(*c.first_order_sd, decimals), fixed(*c.mean, decimals)),
                   2);
}

std::string rules_text(const Converted& converted) {
    if (converted.rules.empty()) return "";
    Table table{{{"rule"}, {converted.shown, Align::right}, {"from ours", Align::right}}, {}};
    const int decimals = converted.decimals + 1; // the rules differ where the trade no longer reads
    for (const auto& [rule, value] : converted.rules)
        table.rows.push_back({rule, fixed(value, decimals), fixed(value - converted.value, decimals)});
    return table_text(table);
}

void write_figures(JsonWriter& w, const Converted& c) {
    w.field("value", c.value).field("sd", c.sd);
    w.field("first_order_sd", c.first_order_sd).field("mean", c.mean);
    if (c.first_order_sd) w.field("first_order_enough", false);
}

} // namespace

std::string convert_text(const Converted& converted) {
    std::string text = figure_text(converted, converted.shown) + "\n";
    for (const auto& also : converted.also)
        text += also.what + " " + figure_text(also.value, also.sd, also.shown, also.decimals) + "\n";
    if (converted.first_order_sd) text += first_order_text(converted);
    text += rules_text(converted);
    for (const auto& remark : converted.remarks) text += wrapped(remark + "\n", 2);
    return text;
}

std::string convert_json(const Converted& converted) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/convert/1").field("given", converted.given);
    write_figures(w, converted);
    w.field("unit", converted.unit).field("basis", converted.basis).field("at_c", converted.at_c);
    for (const auto& also : converted.also) {
        w.field(also.name, also.value);
        if (also.sd) w.field(also.name + "_sd", *also.sd);
    }
    if (!converted.rules.empty()) {
        w.key("rules").begin_array();
        for (const auto& [rule, value] : converted.rules)
            w.begin_object(JsonWriter::Layout::one_line).field("rule", rule).field("value", value).end_object();
        w.end_array();
    }
    if (!converted.remarks.empty()) w.field("remarks", converted.remarks);
    w.end_object();
    return std::move(w).text();
}

std::string convert_csv(const Converted& converted) {
    return csv_row({"given", "value", "sd", "unit"}) +
           csv_row({converted.given, shortest(converted.value), converted.sd ? shortest(*converted.sd) : "",
                    converted.unit});
}

namespace {

// As many columns of the range side by side as a line holds, block below block.
std::string blocks(const ConvertedTable& table) {
    std::size_t row_width = 0, cell_width = 0;
    for (const auto& row : table.rows) row_width = std::max(row_width, display_width(row));
    for (const auto& column : table.columns) cell_width = std::max(cell_width, display_width(column));
    for (const auto& row : table.cells)
        for (const auto& cell : row) cell_width = std::max(cell_width, display_width(figure_text(cell, "")));
    const std::size_t fit = std::max<std::size_t>(1, (line_width() - std::min(row_width, line_width())) / (cell_width + 2));
    std::string text;
    for (std::size_t from = 0; from < table.columns.size(); from += fit) {
        const std::size_t to = std::min(from + fit, table.columns.size());
        Table block{{{"", Align::right}}, {}};
        for (std::size_t k = from; k < to; ++k) block.columns.push_back({table.columns[k], Align::right});
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            std::vector<std::string> cells{table.rows[i]};
            for (std::size_t k = from; k < to; ++k) cells.push_back(figure_text(table.cells[i][k], ""));
            block.rows.push_back(std::move(cells));
        }
        text += (from > 0 ? "\n" : "") + table_text(block);
    }
    return text;
}

} // namespace

std::string convert_table_text(const ConvertedTable& table) {
    const Converted& first = table.cells.front().front();
    std::string text;
    if (table.across.empty() || table.rows.size() == 1) { // one list, of VALUE or of the option
        const bool of_option = !table.across.empty();
        Table list{{{of_option ? "--" + table.across : "given", Align::right}, {first.shown, Align::right}}, {}};
        const auto& names = of_option ? table.columns : table.rows;
        for (std::size_t i = 0; i < names.size(); ++i)
            list.rows.push_back({names[i], figure_text(of_option ? table.cells[0][i] : table.cells[i][0], "")});
        text = table_text(list);
    } else {
        text = fmt::format("{}, by --{} across\n{}", first.shown, table.across, blocks(table));
    }
    const bool bent = std::ranges::any_of(table.cells, [](const auto& row) {
        return std::ranges::any_of(row, [](const Converted& cell) { return cell.first_order_sd.has_value(); });
    });
    if (bent) text += "first order is not enough for all cells: their ± is to second order\n";
    for (const auto& remark : table.remarks) text += wrapped(remark + "\n", 2);
    return text;
}

std::string convert_table_json(const ConvertedTable& table) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/convert/1").field("given", table.given);
    w.field("unit", table.cells.front().front().unit);
    if (!table.across.empty()) w.field("across", table.across);
    w.key("rows").begin_array();
    for (std::size_t i = 0; i < table.rows.size(); ++i)
        for (std::size_t k = 0; k < table.columns.size(); ++k) {
            w.begin_object(JsonWriter::Layout::one_line).field("given", table.rows[i]);
            if (!table.across.empty()) w.field("column", table.columns[k]);
            write_figures(w, table.cells[i][k]);
            w.end_object();
        }
    w.end_array();
    if (!table.remarks.empty()) w.field("remarks", table.remarks);
    w.end_object();
    return std::move(w).text();
}

std::string convert_table_csv(const ConvertedTable& table) {
    std::vector<std::string> heading{"given"};
    if (!table.across.empty()) heading.push_back(table.across);
    heading.insert(heading.end(), {"value", "sd", "unit"});
    std::string text = csv_row(heading);
    for (std::size_t i = 0; i < table.rows.size(); ++i)
        for (std::size_t k = 0; k < table.columns.size(); ++k) {
            const Converted& cell = table.cells[i][k];
            std::vector<std::string> row{table.rows[i]};
            if (!table.across.empty()) row.push_back(table.columns[k]);
            row.insert(row.end(), {shortest(cell.value), cell.sd ? shortest(*cell.sd) : "", cell.unit});
            text += csv_row(row);
        }
    return text;
}

} // namespace lotwort::report

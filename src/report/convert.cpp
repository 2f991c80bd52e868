#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/convert.hpp>

namespace lotwort::report {

std::string convert_text(const Converted& converted) {
    std::string text = fixed(converted.value, converted.decimals);
    if (converted.sd) text += " ± " + fixed(*converted.sd, converted.decimals);
    if (!converted.shown.empty()) text += " " + converted.shown;
    text += "\n";
    for (const auto& remark : converted.remarks) text += remark + "\n";
    return text;
}

std::string convert_json(const Converted& converted) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/convert/1").field("given", converted.given);
    w.field("value", converted.value).field("sd", converted.sd).field("unit", converted.unit);
    w.field("basis", converted.basis).field("at_c", converted.at_c);
    if (!converted.remarks.empty()) w.field("remarks", converted.remarks);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report

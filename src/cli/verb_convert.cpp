// convert: gravity, volume, extract, colour, alcohol, hop age and units, without a ledger.
#include "convert.hpp"
#include "shared.hpp"
#include "verbs.hpp"

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"VALUE", "what is to be converted, with its unit: 1.048, 12P, 30L@95C, 81.5%, 6EBC, 55lb"},
};

constexpr Option options[] = {
    {"to", "UNIT", "what it is to be: sg, plato, brix, a basis, ebc, lb, ...; for a hot volume a temperature"},
    {"from", "KIND", "which specific gravity a bare number is: sg (unless given), sg-air, sg-60f, sg-15c"},
    {"read-at", "TEMPERATURE", "of the sample the hydrometer floated in"},
    {"stem", "TEMPERATURE", "the hydrometer is right at; 20C unless given"},
    {"at", "TEMPERATURE", "of a volume, or at which a density is wanted"},
    {"gravity", "GRAVITY", "of the wort that a hot volume is of; water unless given"},
    {"final", "GRAVITY", "the final gravity, for abv, abw, attenuation and real-extract"},
    {"wort-factor", "NUMBER", "a refractometer's wort correction, Brix over plato; 1.04 unless given"},
    {"basis", "BASIS", "of an extract: fine-dry, fine-as-is, coarse-dry, coarse-as-is"},
    {"moisture", "PERCENT", "of the malt, where dry and as-is meet"},
    {"analysed", "DATE", "the day a hop was analysed, for its alpha now (--to alpha)"},
    {"on", "DATE", "the day the hop is used; today unless given"},
    {"storage", "TEMPERATURE", "where the hop is kept: 4C"},
    {"packaging", "WORDS", "how the hop is packed: vacuum, airtight, open, ..."},
};

std::string lowered(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

void parse_hop(const Call& call, ConvertRequest& request) {
    Lot hop;
    hop.certificate.emplace();
    hop.certificate->analysed = call.date("analysed");
    hop.storage = read_option(call, "storage", [](const std::string& text) {
        return parse_temperature(text, {-80.0, 60.0});
    });
    hop.packaging = call.args.text("packaging");
    request.hop = std::move(hop);
    request.on = call.date("on").value_or(call.surroundings.today);
}

ConvertRequest parse(const Call& call) {
    ConvertRequest request;
    request.given = call.args.required("VALUE");
    const auto to = call.args.text("to");
    if (!to)
        throw Error(ErrorKind::usage, "--to is missing: what it is to be",
                    "write: lotwort convert 1.048 --to plato; lotwort convert --help lists the units");
    request.to = lowered(*to);
    request.value = parse_typed(request.given);
    if (request.value.sd)
        throw Error(ErrorKind::refused, "convert takes no standard deviation", "leave the ± part out");
    if (std::holds_alternative<Bare>(request.value.value))
        throw Error(ErrorKind::refused, "`" + request.given + "` is a number without a unit",
                    "write the unit: 12P, 30L, 81.5%, 6EBC; a gravity alone lies between 0.98 and 1.2");
    request.from = lowered(call.args.text("from").value_or("sg"));
    const auto temperature = [&](std::string_view name) -> std::optional<Celsius> {
        return read_option(call, name, [](const std::string& text) { return parse_temperature(text, {0.0, 100.0}); });
    };
    request.read_at = temperature("read-at");
    request.stem = temperature("stem");
    request.at = temperature("at");
    const auto gravity = [](const std::string& text) { return parse_gravity(text); };
    request.wort = read_option(call, "gravity", gravity);
    request.final_gravity = read_option(call, "final", gravity);
    request.wort_factor = read_option(call, "wort-factor", [](const std::string& text) {
        return parse_number(text, "wort correction", {0.8, 1.25});
    });
    request.basis = call.args.text("basis");
    request.moisture = read_option(call, "moisture", [](const std::string& text) {
        return parse_percent(text, {0.0, 30.0});
    });
    parse_hop(call, request);
    return request;
}

report::Converted convert(const ConvertRequest& request) {
    for (const auto convert_as : {convert_alcohol, convert_hops, convert_extract, convert_gravity, convert_hot_volume})
        if (auto done = convert_as(request)) return *done;
    return convert_unit(request);
}

Answer run(Call& call) {
    const ConvertRequest request = parse(call);
    report::Converted converted = convert(request);
    converted.given = request.given;
    return {call.json() ? report::convert_json(converted) : report::convert_text(converted)};
}

} // namespace

constinit const Command convert_command{
    .name = "convert",
    .group = Group::look_back,
    .summary = "gravity, volume, extract, colour, alcohol, hops and units; no ledger",
    .ledger = LedgerUse::none,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::cli

// convert: every figure of wort, malt and hops, without a ledger.
#include "convert/convert.hpp"
#include "table.hpp"
#include <fmt/format.h>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"VALUE", "what is to be converted, with its unit: 1.048, 1.048±0.001, 12P, 30L@95C, 81.5%, 6EBC, 55lb"},
};

constexpr Option options[] = {
    {"to", "UNIT",
     "what it is to be: sg, plato, brix, abv, a basis, ebc, ibu, lb, ...; for a hot volume a temperature"},
    {"from", "KIND", "what a bare number is: sg (unless given), sg-air, sg-60f, sg-15c, index, lintner, ..."},
    {"table", "", "VALUE or one option is a range, 1.030..1.060/0.005: all of it as a table"},
    {"compare", "", "the published rules beside the answer"},
    {"read-at", "TEMPERATURE", "of the sample the hydrometer floated in"},
    {"stem", "TEMPERATURE", "the hydrometer is right at; 20C unless given"},
    {"wort-factor", "NUMBER", "a refractometer's wort correction, Brix over plato; 1.04 ± 0.01 unless given"},
    {"at", "TEMPERATURE", "of a volume, or at which a density is wanted"},
    {"gravity", "GRAVITY", "of the wort that a volume is of, or that boils with the hops"},
    {"final", "GRAVITY", "the final gravity, for alcohol, attenuation and real-extract"},
    {"attenuation", "PERCENT", "the apparent attenuation, in place of --final"},
    {"alcohol", "PERCENT", "by mass, of a beer of which an extract is known"},
    {"add", "VOLUME", "run together with VALUE"},
    {"add-gravity", "GRAVITY", "of what is added; liquor unless given"},
    {"add-alcohol", "PERCENT", "by mass, of the beer that is added"},
    {"dilute-to", "GRAVITY", "what liquor is to bring the wort down to"},
    {"found", "VOLUME", "what a blend was read as, for --to residual"},
    {"found-gravity", "GRAVITY", "its gravity as read"},
    {"dip", "MARKS", "a dip table: 0cm=0L,10cm=5.2L,40cm=24L"},
    {"basis", "BASIS", "of an extract: fine-dry, fine-as-is, coarse-dry, coarse-as-is"},
    {"moisture", "PERCENT", "of the malt, where dry and as-is meet"},
    {"difference", "PERCENT", "fine less coarse grind, points of dry extract; 1.7% unless given"},
    {"colour", "COLOUR", "of a malt, for the beer's colour"},
    {"volume", "VOLUME", "of the beer that malt or hops go into"},
    {"alpha", "PERCENT", "alpha acids of the hops"},
    {"boil", "TIME", "that the hops boil"},
    {"stand", "TIME@TEMPERATURE", "that they stand hot below the boil: 30min@80C; of VALUE, its temperature alone"},
    {"altitude", "LENGTH", "of the brewery, whose own boil is counted in: 1500m"},
    {"oil", "ML", "hop oil, ml per 100 g"},
    {"analysed", "DATE", "the day a hop was analysed, for its alpha now (--to alpha)"},
    {"on", "DATE", "the day the hop is used; today unless given"},
    {"days", "TIME", "from the analysis to the use, in place of both days"},
    {"storage", "TEMPERATURE", "where the hop is kept: 4C"},
    {"packaging", "WORDS", "how the hop is packed: vacuum, airtight, open, ..."},
    {"lost", "PERCENT", "of its alpha that the hop loses in six months at 20 °C unpacked; 35%±12 unless given"},
    {"hsi", "INDEX", "its storage index, measured now"},
    {"hsi-then", "INDEX", "its storage index at the analysis"},
    {"limit", "NUMBER", "the maker's error limit, in the unit of the division"},
};

ConvertWords parse(const Call& call) {
    ConvertWords words;
    words.given = call.args.required("VALUE");
    words.today = call.surroundings.today;
    for (const Option& option : options)
        if (const auto text = call.args.text(option.name); text && option.name != "table")
            words.options[std::string(option.name)] = *text;
    if (!words.options.contains("to"))
        throw Error(ErrorKind::usage, "--to is missing: what it is to be",
                    "write: lotwort convert 1.048 --to plato; lotwort convert --help lists the units");
    if (!call.args.has("table") && is_range(words.given))
        throw Error(ErrorKind::refused, "`" + words.given + "` is a range", "a range makes a table: add --table");
    return words;
}

Answer run(Call& call) {
    const ConvertWords words = parse(call);
    if (call.args.has("table")) {
        const auto table = convert_table(words);
        return {call.json()  ? report::convert_table_json(table)
                : call.csv() ? report::convert_table_csv(table)
                             : report::convert_table_text(table)};
    }
    const auto converted = convert(words);
    if (!call.csv()) return {call.json() ? report::convert_json(converted) : report::convert_text(converted)};
    for (const char* beside : {"compare", "hsi-then"}) // an index then, without one now, is of the index that will be
        if (words.options.contains(beside) && !words.options.contains("hsi"))
            throw Error(ErrorKind::usage,
                        fmt::format("--{} is of what stands beside the answer, and a row has no room", beside),
                        "leave it out; --json answers for a program");
    return {report::convert_csv(converted)};
}

} // namespace

constinit const Command convert_command{
    .name = "convert",
    .group = Group::look_back,
    .summary = "figures of wort, malt and hops with uncertainty; no ledger",
    .ledger = LedgerUse::none,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs

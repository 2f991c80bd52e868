// What several verbs share: names looked up with the nearest ones offered, a certificate's options, files.
#pragma once

#include <array>
#include <lotwort/brew/book.hpp>
#include <lotwort/brew/planned.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/typed.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/store/ledger.hpp>
#include <lotwort/verbs/call.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::verbs {

// Option tables one behind the other, for verbs that share some.
template <std::size_t N, std::size_t M>
[[nodiscard]] constexpr std::array<Option, N + M> joined(const std::array<Option, N>& a,
                                                         const std::array<Option, M>& b) {
    std::array<Option, N + M> all{};
    for (std::size_t i = 0; i < N; ++i) all[i] = a[i];
    for (std::size_t i = 0; i < M; ++i) all[N + i] = b[i];
    return all;
}

// "nothing about X would change"; where something was typed that has no part in it, that is why, and is said.
[[noreturn]] void refuse_no_change(const Call& call, std::string_view what, const std::string& hint);

// The code after the highest of those that are PREFIX and digits, with as many digits: P12 gives P13, B009 gives
// B010; the first is PREFIX1.
[[nodiscard]] std::string next_code(std::string_view prefix, const std::vector<std::string>& taken);

// An item of that name with the kind and class that the name speaks of; figures are left to what is typical.
[[nodiscard]] Item item_of_name(const std::string& name);

// An amount as it is typed: 4.36kg.
[[nodiscard]] std::string typed_text(Amount amount);

// What follows, where the verb has one positional: the word itself, or a refusal that shows what to write.
[[nodiscard]] const std::string& needed(const Call& call, std::string_view positional, std::string_view write);
const std::string& needed(const Call&&, std::string_view, std::string_view) = delete;

// --on, else today. Error(refused) for a day that has not come.
[[nodiscard]] Date day_asked(const Call& call);

// A name as it is kept: not empty, spaces at its ends taken off.
[[nodiscard]] std::string parse_name(std::string_view text, std::string_view what);

// The believable range of a field, as its record declares it.
template <class Record>
[[nodiscard]] constexpr Range range_of(std::string_view field_name) {
    Range range{};
    for_each_field<Record>([&](const auto& f) {
        if (f.name == field_name) range = f.range;
    });
    return range;
}

// The value of an option as `read` takes it, none where it was not given; a refusal names the option.
template <class Read>
[[nodiscard]] auto read_option(const Call& call, std::string_view option, Read&& read)
    -> std::optional<decltype(read(std::declval<const std::string&>()))> {
    const auto text = call.args.text(option);
    if (!text) return std::nullopt;
    try {
        return read(*text);
    } catch (const Error& fault) {
        throw of_option(option, fault);
    }
}

// The values of an option that may be given more than once.
template <class Read>
[[nodiscard]] auto read_each(const Call& call, std::string_view option, Read&& read) {
    std::vector<decltype(read(std::declval<const std::string&>()))> values;
    try {
        for (const auto& text : call.args.all(option)) values.push_back(read(text));
    } catch (const Error& fault) {
        throw of_option(option, fault);
    }
    return values;
}

// A word of an enumeration, typed. Error(refused) lists the words.
template <class Enum>
[[nodiscard]] Enum parse_word(std::string_view text, std::string_view what) {
    if (const auto value = from_word<Enum>(text)) return *value;
    std::string words;
    for (const auto& known : WordsOf<Enum>::list) words += (words.empty() ? "" : ", ") + std::string(known);
    throw Error(ErrorKind::refused, "`" + std::string(text) + "` is not " + std::string(what),
                "write one of: " + words);
}

// As Sparge's words, in any capitals, and as brewers say it: fly, no-sparge, biab, full volume.
[[nodiscard]] Sparge parse_sparge(std::string_view typed);

// A malt's or beer's colour on any scale, as EBC.
[[nodiscard]] Ebc parse_ebc(std::string_view text);

// Diastatic power, with its unit or without: 250 or 250WK.
[[nodiscard]] WindischKolbach parse_wk(std::string_view text);

// Extract with its basis: a per cent needs --basis said; L/kg and ppg only which grind and which matter.
struct TypedExtract {
    Percent value; // in the unit the basis names
    ExtractBasis basis = ExtractBasis::fine_dry;
};
[[nodiscard]] TypedExtract parse_extract(std::string_view text, const std::optional<std::string>& basis);
// Of --extract and --basis.
[[nodiscard]] std::optional<TypedExtract> parse_extract_options(const Call& call);

// The options of a certificate of analysis, and what they say. Empty where none is given.
inline constexpr std::array<Option, 14> certificate_options{{
    {"extract", "EXTRACT", "laboratory extract: 81.5%, 300L/kg or 36ppg"},
    {"basis", "BASIS", "of the extract: fine-dry, fine-as-is, coarse-dry, coarse-as-is"},
    {"extract-sd", "EXTRACT", "how far lots differ from their certificate, one standard deviation"},
    {"moisture", "PERCENT", "moisture of the malt"},
    {"moisture-sd", "PERCENT", "its standard deviation"},
    {"colour", "COLOUR", "colour of the malt: 6EBC, 3.5SRM or 3L"},
    {"wk", "WK", "diastatic power, Windisch-Kolbach units"},
    {"protein", "PERCENT", "protein of the dry malt"},
    {"alpha", "PERCENT", "alpha acids of the hop"},
    {"alpha-sd", "PERCENT", "their standard deviation"},
    {"hsi", "INDEX", "hop storage index at analysis"},
    {"oil", "ML", "hop oil, ml per 100 g"},
    {"analysed", "DATE", "the day of the analysis"},
    {"certificate", "FILE", "the certificate as a JSON or TOML file; the options above come before it"},
}};
[[nodiscard]] std::optional<Certificate> parse_certificate(const Call& call);

// --grain of a brew's sheet: the malt's temperature as it goes into the mash. Error(refused) where the recipe states no
// rest to strike for.
[[nodiscard]] std::optional<Celsius> parse_grain(const Call& call, const PlannedBrew& planned);

// The bytes of a file, or of standard input for `-`. Error(refused) where it cannot be read.
[[nodiscard]] std::string read_file(const Call& call, const std::string& path);

// What its faults and its entry call it: "a page's form", where a page sent what it holds.
[[nodiscard]] std::string name_of_file(const Call& call, const std::string& path);

// What `read` makes of a file; its faults say what is due in their own place, and `again` what to do with the file.
template <class Read>
[[nodiscard]] auto read_mended(std::string_view again, Read&& read) {
    try {
        return read();
    } catch (const Error& fault) {
        if (fault.kind() != ErrorKind::refused || !fault.hint().empty()) throw;
        throw Error(fault.kind(), fault.what(), "nothing was booked: mend the file and " + std::string(again));
    }
}

// Writes a verb's FILE whole or not at all (store/new_file.hpp); one that is there only with --force. Error(refused).
// Moved where the ledger has changed since the text was read from it.
void write_file(Call& call, const std::string& path, const std::string& text);

struct NamedText {
    std::string file, text;
};
// The same of files into one folder, which is made where it is not there. None is written where one of them is there
// already and --force is not.
void write_files(Call& call, const std::string& folder, const std::vector<NamedText>& files);

} // namespace lotwort::verbs

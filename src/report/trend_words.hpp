// Words for what many brews say; shared by the text and the page of a trend.
#pragma once

#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/infer/learn.hpp>
#include <lotwort/infer/score.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

[[nodiscard]] std::string signed_pct(double share);      // "+1.2 %", never "-0.0 %"
[[nodiscard]] std::string difference(const Estimate& e); // "-3.0 to +2.3 %"

// A figure "also learned" and its interval. Attenuation, conversion's slopes and what is packaged are kept as
// fractions, and said as all else is: in per cent.
struct LearnedWords {
    std::string value;    // "2.94 ± 0.08", "-1.04 ± 0.61 %"
    std::string interval; // "-2.0 to 0.0 %"
};
[[nodiscard]] LearnedWords learned_words(const std::string& name, const Estimate& e);

// What a brewer would act on, a sentence a paragraph: what changed and what it may be due to, lots that are odd,
// instruments that err for ever; else that nothing did.
[[nodiscard]] std::string headline(const Learning& learned);
// How far brews repeat, and what they would not show yet; a sentence a brewhouse.
[[nodiscard]] std::string steadiness(const Learning& learned);
// How many of the last forecasts held what came, and how far they were out on average; nothing of a few.
[[nodiscard]] std::string forecasts_line(const ForecastScore& forecasts);

// "the kettle's marks", and whose they are where it is a typical instrument.
[[nodiscard]] std::string instrument_words(const LearnedInstrument& instrument);
// "0.7 L high (0.4 to 1.0)", "-0.1 to +0.3 L".
[[nodiscard]] std::string offset_words(const LearnedInstrument& instrument);
// Its stated standard deviation; "errs", "doubted" or nothing.
[[nodiscard]] std::string stated_words(const LearnedInstrument& instrument);
[[nodiscard]] std::string standing_words(const LearnedInstrument& instrument);
// Which reading would tell, with what it should show.
[[nodiscard]] std::string would_tell(const LearnedInstrument& instrument);
[[nodiscard]] std::string check_command(const LearnedInstrument& i); // that books it; empty of marks nobody stated
// A table of them all, and the corrections to enter where one is told; empty without instruments.
[[nodiscard]] std::string instruments_text(const std::vector<LearnedInstrument>& instruments);
void instrument_json(JsonWriter& w, const LearnedInstrument& instrument);
[[nodiscard]] bool is_suspect(const LearnedInstrument& instrument);

} // namespace lotwort::report

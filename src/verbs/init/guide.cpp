#include "guide.hpp"
#include "efficiency.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <functional>
#include <lotwort/brew/kit.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <utility>

namespace lotwort::verbs {

namespace {

constexpr int most_tries = 4;
constexpr int most_lots = 20;

// One command: the verb, and its words under their names in the order they are typed.
struct Step {
    const Command* command;
    std::vector<std::pair<std::string, std::string>> words;
};

bool is_positional(const Step& step, std::string_view name) {
    return std::ranges::find(step.command->positionals, name, &Positional::name) != step.command->positionals.end();
}

std::string typed(const Step& step) {
    std::string line = fmt::format("lotwort {}", step.command->name);
    for (const auto& [name, value] : step.words)
        line += is_positional(step, name) ? " " + shell_word(value) : fmt::format(" --{} {}", name, shell_word(value));
    return line;
}

class Guide {
public:
    explicit Guide(const Call& call) : call_(call) {}
    GuidedStart run();

private:
    using Check = std::function<void(const std::string&)>;
    // The answer, or `otherwise` for an empty line; asked again while `check` refuses it. None at the end of the input.
    std::optional<std::string> ask(const std::string& question, const std::string& otherwise, const Check& check = {});
    void refuse(const Error& error);
    bool book(const Step& step);
    bool booked_brewhouse();
    bool brewhouse();
    bool efficiency_or_losses(Step& step, Litres volume);
    bool instruments();
    bool lots();

    const Call& call_;
    std::vector<std::string> commands_;
    std::string fault_; // of the last answer, for the next question; empty where it was taken
    bool ended_ = false;
    bool is_half_told_ = false; // the brewhouse: its first answers are there, and nothing of it is booked yet
    [[nodiscard]] std::string why_ended() const;
};

void Guide::refuse(const Error& error) {
    fault_ = fmt::format("{}{}{}\n", error.what(), error.hint().empty() ? "" : "\n", error.hint());
}

std::optional<std::string> Guide::ask(const std::string& question, const std::string& otherwise, const Check& check) {
    for (int i = 0; i < most_tries; ++i) {
        // what was booked so far stays; an interrupt ends the questions and the program
        if (call_.surroundings.on_interrupt) (void)call_.surroundings.on_interrupt(Interrupt::ends_program);
        const auto answer = call_.surroundings.ask(
            fmt::format("{}{} [{}] ", fault_, question, otherwise.empty() ? "leave it open" : otherwise));
        if (!answer) break;
        const std::string meant = answer->empty() ? otherwise : *answer;
        try {
            if (check && !meant.empty()) check(meant);
            fault_.clear();
            return meant;
        } catch (const Error& error) {
            refuse(error);
        }
    }
    ended_ = true;
    return std::nullopt;
}

bool Guide::book(const Step& step) {
    Arguments arguments(*step.command);
    for (const auto& [name, value] : step.words) arguments.add(name, value);
    for (const char* shared : {"ledger", "by"})
        if (const auto given = call_.args.text(shared)) arguments.add(shared, *given);
    try {
        (void)run_verb(*step.command, arguments, call_.surroundings, true);
    } catch (const Error& error) {
        refuse(error);
        return false;
    }
    commands_.push_back(typed(step));
    return true;
}

// Where the efficiency is known, it says more than a loss or two; else these.
bool Guide::efficiency_or_losses(Step& step, Litres volume) {
    const auto efficiency = ask(
        "What do your brews come to, of the malt's extract? It forecasts the first gravity: such as 72%; empty where "
        "you do not know.",
        "", [](const std::string& text) {
            (void)parse_efficiency_figure(text);
            if (text.find('@') != std::string::npos && !efficiency_in_kettle(text))
                throw Error(ErrorKind::refused,
                            fmt::format("`{}` is neither fermenter nor kettle", text.substr(text.find('@') + 1)),
                            "write such as 72%@fermenter or 75%@kettle");
        });
    if (!efficiency) return false;
    if (efficiency->find('@') != std::string::npos) {
        step.words.emplace_back("efficiency", *efficiency);
        return true;
    }
    if (!efficiency->empty()) {
        const auto where = ask("Is that what is in the fermenter, or in the kettle? (fermenter or kettle)", "fermenter",
                               [](const std::string& text) {
                                   if (text != "fermenter" && text != "kettle")
                                       throw Error(ErrorKind::refused, fmt::format("`{}` is neither", text),
                                                   "write fermenter or kettle");
                               });
        if (!where) return false;
        step.words.emplace_back("efficiency", *efficiency + "@" + *where);
        return true;
    }
    Brewhouse plain;
    plain.volume = volume;
    const Kit typical = kit_of(plain);
    const auto figure = [&](const char* option, const std::string& question, double value, std::string_view unit,
                            const Check& check) {
        const std::string otherwise = fmt::format("typical, about {}{}", fixed(value, 1), unit);
        const auto answer = ask(question, otherwise, [&](const std::string& text) {
            if (text != otherwise) check(text);
        });
        if (answer && *answer != otherwise) step.words.emplace_back(option, *answer);
        return answer.has_value();
    };
    return figure("boil-off", "How much boils off in an hour? It sets the liquor.", typical.boil_off_l_per_h, "L/h",
                  [&](const std::string& text) {
                      (void)parse_litres_per_hour(text, {0.0, volume.value()});
                  }) &&
           figure("kettle-loss", "How much stays in the kettle, with hops and trub? It sets the liquor too.",
                  typical.kettle_loss_l, "L", [&](const std::string& text) {
                      (void)parse_volume(text, {0.0, volume.value()});
                  });
}

bool Guide::booked_brewhouse() {
    const auto volume = ask("How much is a brew to put in the fermenter? It sizes every plan.", "23L",
                            [](const std::string& text) { (void)parse_volume(text, range_of<Brewhouse>("volume_l")); });
    if (!volume) return false;
    is_half_told_ = true;
    const Litres litres = parse_volume(*volume);
    Brewhouse plain;
    plain.volume = litres;
    const auto sparge =
        ask("How do you sparge: none, batch or continuous? It sets what lautering leaves behind.",
            std::string(word(kit_of(plain).sparge)), [](const std::string& text) { (void)parse_sparge(text); });
    if (!sparge) return false;
    Step step{&brewhouse_command,
              {{"ACTION", "add"},
               {"NAME", "house"},
               {"VOLUME", *volume},
               {"sparge", std::string(word(parse_sparge(*sparge)))}}};
    if (!efficiency_or_losses(step, litres) || !book(step)) return false;
    is_half_told_ = false;
    return true;
}

// What is refused when it is all together is asked once more.
bool Guide::brewhouse() {
    for (int i = 0; i < most_tries && !ended_; ++i)
        if (booked_brewhouse()) return true;
    return false;
}

bool Guide::instruments() {
    const auto kind =
        ask("What do you read gravities with: hydrometer, refractometer or density-meter? What it can read "
            "says how far a reading is believed.",
            "hydrometer", [](const std::string& text) {
                if (text != "hydrometer" && text != "refractometer" && text != "density-meter")
                    throw Error(ErrorKind::refused, fmt::format("`{}` is none of them", text),
                                "write hydrometer, refractometer or density-meter");
            });
    return kind && book({&brewhouse_command, {{"ACTION", "instrument"}, {"NAME", *kind}, {"kind", *kind}}});
}

bool Guide::lots() {
    for (int i = 0, tries = 0; i < most_lots && tries < most_tries;) {
        const auto answer = ask(fmt::format("{} is in stock? A plan reserves it: such as {}; empty to end.",
                                            i == 0 ? "What" : fmt::format("What else, beside {} told,", i),
                                            i == 0 ? "pale ale malt=25kg" : "bittering hop=100g"),
                                "");
        if (!answer) return false;
        if (answer->empty()) return true;
        const auto equals = answer->rfind('=');
        if (equals == std::string::npos)
            refuse({ErrorKind::refused, fmt::format("`{}` does not say how much", *answer)});
        const bool is_booked =
            equals != std::string::npos &&
            book({&receive_command, {{"ITEM", answer->substr(0, equals)}, {"AMOUNT", answer->substr(equals + 1)}}});
        (is_booked ? i : tries) += 1;
        if (is_booked) tries = 0;
    }
    return true;
}

std::string Guide::why_ended() const {
    if (!fault_.empty()) return "the questions ended here, and the last answer was not taken:\n" + fault_;
    return is_half_told_ ? "the questions ended before the brewhouse was told: nothing of it is booked\n" : "";
}

GuidedStart Guide::run() {
    const auto wanted =
        ask("Shall the first things be asked now (volume, sparge, efficiency, instrument, stock)? Each has a "
            "default, and a command that says it later. (yes or no)",
            "yes", [](const std::string& text) {
                if (text != "yes" && text != "y" && text != "no" && text != "n")
                    throw Error(ErrorKind::refused, fmt::format("`{}` is neither", text), "write yes or no");
            });
    if (wanted && wanted->starts_with('y')) (void)(brewhouse() && instruments() && lots());
    return {std::move(commands_), why_ended()};
}

} // namespace

GuidedStart guided_start(const Call& call) {
    return Guide(call).run();
}

} // namespace lotwort::verbs

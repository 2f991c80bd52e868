// What is typed takes effect or is refused: every option of every verb, in each of the verb's ways, changes what is
// booked, written or printed, or is refused with its name.
#include "every_option.hpp"
#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <set>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// What a command line has come to.
struct Outcome {
    Said said;
    std::string ledger; // the file's bytes: where they are the same, nothing was booked
    std::string files;  // that it wrote
};

// The same of the way alone, with all that its ledger holds then.
struct Base {
    Outcome outcome;
    std::string booked;
};

class EveryWay {
public:
    EveryWay() {
        stock_every_kind(b_);
        ledger_ = bytes("ledger.lotwort");
        other_ = bytes("other.lotwort");
        b_.done("init --ledger FOLDER/new.lotwort");
        empty_ = bytes("new.lotwort");
    }

    Outcome run(const Way& way, const std::string& more) {
        restore(way);
        Outcome out;
        out.said = b_.run(way.line + more);
        out.ledger = bytes("ledger.lotwort") + bytes("other.lotwort");
        for (const char* file : written) out.files += fmt::format("{}\n{}\n", file, bytes(file));
        return out;
    }

    Base base(const Way& way, const std::string& form) {
        Base base{run(way, form), ""};
        base.booked = booked();
        return base;
    }

    // What the ledger holds after a run.
    [[nodiscard]] std::string booked() const { return b_.run("export").out + b_.run("history --json").out; }

    // What is booked can be carried elsewhere: the export is taken by a new ledger, and comes out the same.
    void carry() {
        b_.done("export FOLDER/carried.json --force");
        if (!carried_.insert(bytes("carried.json")).second) return;
        b_.write("new.lotwort", empty_);
        b_.done("import FOLDER/carried.json --ledger FOLDER/new.lotwort");
        CHECK(b_.run("export --ledger FOLDER/new.lotwort").out == bytes("carried.json"));
        std::filesystem::remove(path("new.lotwort"));
    }

    // The ledgers' bytes before.
    [[nodiscard]] std::string untouched(const Way& way) const { return (way.verb() == "init" ? "" : ledger_) + other_; }

    [[nodiscard]] cli::Arguments arguments(const cli::Command& command, const Way& way) const {
        auto words = b_.words_of(way.line);
        words.erase(words.begin());
        return cli::parse_arguments(command, words);
    }

private:
    static constexpr std::array written{"new.ics",  "out.ics",     "new.mps",    "new.lp",   "new.html",
                                        "new.json", "new.lotwort", "out.mps",    "there.lp", "out.lp",
                                        "out.html", "out.json",    "there.json", "pages"};

    void restore(const Way& way) {
        for (const char* file : written) std::filesystem::remove_all(path(file));
        b_.write("there.json", "{}");
        b_.write("there.lp", "");
        if (way.verb() == "init") {
            std::filesystem::remove(path("ledger.lotwort"));
        } else if (bytes("ledger.lotwort") != ledger_) {
            b_.write("ledger.lotwort", ledger_);
        }
        if (bytes("other.lotwort") != other_) b_.write("other.lotwort", other_);
    }
    // Of a file, all at once: it is done some ten thousand times. None: empty.
    [[nodiscard]] std::string bytes(const std::string& name) const {
        std::error_code none;
        const auto size = std::filesystem::file_size(path(name), none);
        if (none) return "";
        std::string text(size, '\0');
        std::ifstream(path(name), std::ios::binary).read(text.data(), static_cast<std::streamsize>(size));
        return text;
    }
    [[nodiscard]] std::filesystem::path path(const std::string& name) const {
        return std::filesystem::path(b_.ledger_path()).parent_path() / name;
    }

    Brewery b_;
    std::string ledger_, other_, empty_;
    std::set<std::string> carried_; // what has been
};

// Does a refusal speak of what was typed?
bool speaks_of(const Said& said, const std::string& name) {
    const std::string all = said.error + "\n" + said.hint;
    const auto is_said = [&](const std::string& words) { return all.find(words) != std::string::npos; };
    return said.status == 2 || is_said(name.substr(name.find_first_not_of('-'))) ||
           std::ranges::any_of(own_words(), is_said);
}

bool says_the_same(const Outcome& a, const Outcome& b) {
    return a.said.status == b.said.status && a.said.out == b.said.out && a.said.error == b.said.error &&
           a.files == b.files;
}

struct Tally {
    int pairs = 0, effective = 0, refused = 0, idle = 0;
};

class Checker {
public:
    // `form`: how all of it is to be printed.
    void way(const Way& way, const std::string& form) {
        const auto command = std::ranges::find(cli::commands(), way.verb(), [](const auto* c) { return c->name; });
        REQUIRE(command != cli::commands().end());
        const Base base = every_.base(way, form);
        // a form that it does not have was refused with the others; what is booked is so whatever the form
        const bool looks = base.outcome.ledger == every_.untouched(way);
        if (!form.empty() && (!base.outcome.said.error.empty() || !looks)) return;
        CHECK_MESSAGE(base.outcome.said.error.empty() == way.only.empty(), way.line, ": ", base.outcome.said.error);
        for (const cli::Option& option : cli::all_options(**command)) {
            const std::string name = "--" + std::string(option.name);
            const bool is_there = (way.line + form + " ").find(" " + name + " ") != std::string::npos;
            if (option.name == "help" || (is_there && !option.many)) continue;
            if (!way.only.empty() && option.name != way.only) continue;
            add(way, base, form, name, words_of_option(way, option));
        }
        if (!way.only.empty()) return;
        const cli::Arguments there = every_.arguments(**command, way);
        const auto next = std::ranges::find_if((*command)->positionals,
                                               [&](const cli::Positional& p) { return p.many || !there.has(p.name); });
        if (next != (*command)->positionals.end())
            add(way, base, form, std::string(next->name), word_of_positional(way, *next));
    }
    [[nodiscard]] const Tally& tally() const { return tally_; }

private:
    void add(const Way& way, const Base& base, const std::string& form, const std::string& name,
             const std::string& words) {
        const std::string line = way.line + form + " " + words;
        CAPTURE(line);
        const Outcome with = every_.run(way, form + " " + words);
        ++tally_.pairs;
        const bool is_refused = !with.said.error.empty() && with.said.error != base.outcome.said.error;
        if (is_refused) {
            ++tally_.refused;
            CHECK_MESSAGE((speaks_of(with.said, name) || name == "--ledger"), with.said.error);
            CHECK(with.ledger == every_.untouched(way));
        } else if (says_the_same(base.outcome, with) &&
                   (with.ledger == base.outcome.ledger || every_.booked() == base.booked)) {
            ++tally_.idle;
            const bool rightly =
                std::ranges::any_of(rightly_idle(),
                                    [&](const Idle& idle) {
                                        return idle.line == way.line && "--" + std::string(idle.option) == name;
                                    }) ||
                name == "--units" || // an answer without quantities is the same in any
                name == "--sure";    // leave to book what is hard to believe: where nothing is, it stands idle
            CHECK_MESSAGE(rightly, "changes nothing: ", line, " -> ", with.said.error, with.said.out);
        } else {
            ++tally_.effective;
            if (way.verb() != "init" && with.ledger != every_.untouched(way)) every_.carry();
            if (name != "--dry-run" && name != "--ledger" && with.ledger != every_.untouched(way)) rehearse(way, words);
        }
    }

    // A rehearsal takes what the real thing takes, and leaves all as it was.
    void rehearse(const Way& way, const std::string& words) {
        const Outcome only = every_.run(way, " --dry-run " + words);
        CHECK(only.said.error.empty());
        CHECK(only.ledger == every_.untouched(way));
    }

    EveryWay every_;
    Tally tally_;
};

} // namespace

TEST_CASE("every option and word in every way of its verb takes effect or is refused") {
    Checker checker;
    for (const Way& way : every_way())
        for (const char* form : {"", " --json", " --csv"}) checker.way(way, form);
    const Tally& tally = checker.tally();
    MESSAGE(fmt::format("{} ways; of {} words added {} took effect, {} were refused, {} rightly changed nothing",
                        every_way().size(), tally.pairs, tally.effective, tally.refused, tally.idle));
    CHECK(tally.effective > 500);
}

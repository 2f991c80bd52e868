// Several people book at once: what each was told is so, once, as if they had taken turns.
//
// Four programs book at random, by every verb that writes. Afterwards all that was acknowledged is booked again into
// another ledger, one command after the other in the order of their entries: both ledgers must then hold the same. A
// code chosen twice, a brew merged into another, a plan brewed twice, a version that forgets another's change, a count
// or a receipt of an order done twice: each makes them differ.
#include "brewery.hpp"
#include <algorithm>
#include <array>
#include <cstdlib>
#include <fmt/format.h>
#include <fstream>
#include <functional>
#include <map>
#include <random>
#include <sys/wait.h>
#include <unistd.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

constexpr int people = 4;

void stock_up(const Brewery& brewery) {
    brewery.write("ale.toml", "name = \"ale\"\nvolume_l = 20.0\noriginal_gravity_sg = 1.040\nboil_minutes = 60\n"
                              "[[grist]]\nitem = \"pale ale malt\"\nshare_pct = 100\n");
    brewery.write("mild.toml", "name = \"mild\"\nvolume_l = 18.0\noriginal_gravity_sg = 1.034\nboil_minutes = 60\n"
                               "[[grist]]\nitem = \"pale ale malt\"\nshare_pct = 90\n[[grist]]\nitem = \"wheat malt\"\n"
                               "share_pct = 10\n");
    brewery.write("more.json", R"({"schema": "lotwort/exchange/1", "currency": "EUR",
        "items": [{"name": "smoked malt", "kind": "malt", "class": "smoked"}],
        "lots": [{"code": "SM-1", "item": "smoked malt", "received": "2026-03-01", "mass_kg": 25, "price": 40}]})");
    brewery.write("note.csv",
                  "item,amount,supplier-lot,price\npale ale malt,25kg,N-1,30.00\nwheat malt,25kg,N-2,31.00\n");
    for (const char* line :
         {"init", "receive \"pale ale malt\" 400kg --price 480", "receive \"wheat malt\" 50kg --price 60",
          "receive \"ale yeast\" 20pieces --kind yeast", "brewhouse add main 20L", "recipe add FOLDER/ale.toml",
          "recipe add FOLDER/mild.toml", "offer terms \"north maltings\" --lead 2days --delivery 5",
          "offer add \"north maltings\" \"pale ale malt\" 25kg 30.00",
          "offer add \"north maltings\" \"wheat malt\" 25kg 32.00", "plan ale", "plan mild", "brew --recipe ale",
          "receive sucrose 1kg --lot SU-1", "tank add FV1 25L", "tank add FV2 50L", "tank add FV3 25L"})
        brewery.done(line);
}

class Person {
public:
    explicit Person(unsigned seed) : random_(seed) {}

    std::string line() {
        static const std::vector<std::function<std::string(Person&)>> kinds{
            [](Person& p) { return fmt::format("receive \"pale ale malt\" {}kg --price {}", p.upto(50), p.upto(60)); },
            [](Person& p) { return fmt::format("receive \"wheat malt\" 25kg --packs {}", 1 + p.upto(2)); },
            [](Person& p) { return fmt::format("discard PAM-1 {}g --reason spilled", p.upto(900)); },
            [](Person& p) { return fmt::format("count PAM-{} {}kg --reason weighed", p.upto(4), p.upto(300)); },
            [](Person& p) { return fmt::format("plan {} --on 2026-03-{}", p.recipe(), 14 + p.upto(16)); },
            [](Person& p) { return fmt::format("plan P{} --move 2026-03-{}", p.upto(12), 14 + p.upto(16)); },
            [](Person& p) { return fmt::format("plan P{} --cancel no-time", p.upto(30)); },
            [](Person& p) { return fmt::format("brew P{}", p.upto(12)); },
            [](Person& p) { return fmt::format("brew --recipe {} --add PAM-1=4kg@mash", p.recipe()); },
            [](Person& p) { return fmt::format("brew B{} --add WM-1={}g@kettle", p.upto(6), p.upto(90)); },
            [](Person& p) { return fmt::format("measure B{} fermenter 1.0{}", p.upto(6), 20 + p.upto(40)); },
            [](Person& p) { return fmt::format("item change \"pale ale malt\" --colour {}EBC", 3 + p.upto(6)); },
            [](Person& p) { return fmt::format("item change \"pale ale malt\" --moisture 4.{}%", p.upto(9)); },
            [](Person& p) { return fmt::format("brewhouse change main --boil-off 3.{}L/h", p.upto(9)); },
            [](Person& p) { return fmt::format("brewhouse change main --kettle-loss 1.{}L", p.upto(9)); },
            [](Person& p) { return fmt::format("lot PAM-1 --split {}kg", p.upto(5)); },
            [](Person& p) { return fmt::format("lot PAM-{} --merge PAM-{}", 2 + p.upto(6), 2 + p.upto(6)); },
            [](Person& p) { return fmt::format("lot PAM-{} --retest --moisture 4.{}%", p.upto(3), p.upto(9)); },
            [](Person& p) { return fmt::format("trace WM-{} --hold recall", 1 + p.upto(4)); },
            [](Person& p) { return fmt::format("trace WM-{} --release", 1 + p.upto(4)); },
            [](Person& p) { return fmt::format("receive \"ale yeast\" 1pieces --from-brew B{}", p.upto(6)); },
            [](Person& p) { return fmt::format("reverse {}", 18 + p.upto(80)); },
            [](Person& p) { return fmt::format("package B{} {} bottles 0.33L --to inn", p.upto(6), p.upto(9)); },
            [](Person& p) {
                return fmt::format("package B{} {} bottles 0.5L --prime SU-1={}g", p.upto(6), p.upto(9), p.upto(200));
            },
            [](Person& p) { return fmt::format("package B{}-{} {} --to home", p.upto(6), p.upto(2), p.upto(6)); },
            [](Person& p) { return fmt::format("package B{}-{} {} --from inn", p.upto(6), p.upto(2), p.upto(6)); },
            [](Person&) { return std::string("buy --order"); },
            [](Person& p) { return fmt::format("receive --order O{}", p.upto(4)); },
            [](Person& p) {
                return fmt::format("order add \"north maltings\" --line \"wheat malt={}x25kg@{}\" --arrives 2026-03-{}",
                                   p.upto(4), p.upto(90), 14 + p.upto(16));
            },
            [](Person& p) { return fmt::format("order change O{} --arrives 2026-03-{}", p.upto(6), 14 + p.upto(16)); },
            [](Person& p) {
                return fmt::format("order change O{} --line \"wheat malt={}x25kg@70\"", p.upto(6), p.upto(4));
            },
            [](Person& p) { return fmt::format("order close O{} --reason sold-out", p.upto(8)); },
            [](Person& p) { return fmt::format("receive --order O{} \"wheat malt\" 25kg", p.upto(6)); },
            [](Person& p) { return fmt::format("tank fill FV{} B{}", p.upto(3), p.upto(6)); },
            [](Person& p) { return fmt::format("tank empty FV{}", p.upto(3)); },
            [](Person& p) { return fmt::format("tank clean FV{}", p.upto(3)); },
            [](Person& p) { return fmt::format("tank use FV{} repair --till 2026-03-{}", p.upto(3), 14 + p.upto(16)); },
            [](Person& p) { return fmt::format("tank add FV{} 25L", p.upto(6)); },
            [](Person& p) { return fmt::format("plan P{} --into FV{}", p.upto(12), p.upto(3)); },
            [](Person&) { return std::string("import FOLDER/more.json"); },
            [](Person& p) {
                return fmt::format("offer add \"north maltings\" \"pale ale malt\" 25kg {}.50", 25 + p.upto(9));
            },
        };
        return kinds[static_cast<std::size_t>(upto(static_cast<int>(kinds.size())) - 1)](*this);
    }

private:
    int upto(int most) { return std::uniform_int_distribution<int>(1, most)(random_); }
    std::string recipe() { return upto(2) == 1 ? "ale" : "mild"; }
    std::mt19937 random_;
};

// What one person was told, a line each in a file: the entry's number (0: refused), the command, the refusal.
void work(const Brewery& brewery, const std::string& file, const std::vector<std::string>& lines) {
    std::ofstream told(file);
    for (const std::string& line : lines) {
        std::string answer;
        try {
            const Said said = brewery.run(line + " --json");
            const Json json = said.out.empty() ? Json() : Json::parse(said.out);
            const bool booked = said.error.empty() && json.contains("entry");
            answer = booked ? fmt::format("{}\t{}\t", json["entry"]["number"].get<int>(), line)
                            : fmt::format("0\t{}\t{}: {} / {}", line, said.status, said.error, said.hint);
        } catch (const std::exception& bug) {
            answer = fmt::format("0\t{}\t70: {}", line, bug.what());
        }
        std::ranges::replace(answer, '\n', ' ');
        told << answer << std::endl;
    }
}

struct Told {
    std::map<int, std::string> booked; // by entry
    std::vector<std::string> twice;    // an entry told to two
    std::vector<std::string> refused;  // command, tab, refusal
};

Told work_together(const Brewery& brewery, const std::function<std::vector<std::string>(int)>& lines_of) {
    const auto file_of = [&](int person) { return fmt::format("{}.{}", brewery.ledger_path(), person); };
    std::vector<pid_t> programs;
    for (int person = 0; person < people; ++person) {
        const pid_t program = ::fork();
        REQUIRE(program >= 0);
        if (program == 0) {
            work(brewery, file_of(person), lines_of(person));
            ::_exit(0);
        }
        programs.push_back(program);
    }
    Told told;
    for (int person = 0; person < people; ++person) {
        int status = 0;
        CHECK(::waitpid(programs[static_cast<std::size_t>(person)], &status, 0) > 0);
        CHECK(status == 0);
        std::ifstream in(file_of(person));
        for (std::string line; std::getline(in, line);) {
            const auto first = line.find('\t'), second = line.find('\t', first + 1);
            const int entry = std::stoi(line.substr(0, first));
            const std::string command = line.substr(first + 1, second - first - 1);
            if (entry == 0)
                told.refused.push_back(line.substr(first + 1));
            else if (!told.booked.emplace(entry, command).second)
                told.twice.push_back(command);
        }
    }
    return told;
}

void check_as_if_in_turn(const Brewery& together, const Told& told) {
    CHECK(told.twice.empty());
    Brewery in_turn;
    stock_up(in_turn);
    for (const auto& [entry, line] : told.booked) {
        const Json again = in_turn.json(line);
        CHECK_MESSAGE(again.contains("entry"), line);
        if (again.contains("entry")) CHECK_MESSAGE(again["entry"]["number"] == entry, line);
    }
    CHECK(in_turn.done("export") == together.done("export"));
    CHECK(together.json("verify")["sound"] == true);
}

int commands_each() {
    const char* asked = std::getenv("LOTWORT_COMMANDS_EACH");
    return asked != nullptr ? std::atoi(asked) : 40;
}

} // namespace

TEST_CASE("four people book by every verb that writes, as if they had taken turns") {
    const Brewery brewery;
    stock_up(brewery);
    const Told told = work_together(brewery, [](int person) {
        Person books(20'260'301U + static_cast<unsigned>(person));
        std::vector<std::string> lines;
        for (int i = 0; i < commands_each(); ++i) lines.push_back(books.line());
        return lines;
    });
    int waited_in_vain = 0; // five seconds, on a busy machine: nothing was booked, and that was said
    for (const std::string& refused : told.refused) {
        const std::string why = refused.substr(refused.find('\t') + 1);
        if (why.starts_with("0: ")) continue; // there was nothing to book
        if (why.starts_with("4: another program holds the ledger")) {
            ++waited_in_vain;
            continue;
        }
        // nobody typed a code that must be another, or met a fault of the program
        CHECK_MESSAGE(why.find("another code") == why.npos, refused);
        CHECK_MESSAGE((why.starts_with("1: ") || why.starts_with("3: ")), refused);
    }
    MESSAGE(told.booked.size(), " booked, ", told.refused.size(), " refused, ", waited_in_vain, " waited in vain");
    CHECK(waited_in_vain <= people * commands_each() / 100);
    CHECK(told.booked.size() > static_cast<std::size_t>(people * commands_each() / 3));
    check_as_if_in_turn(brewery, told);
}

TEST_CASE("four people type the same command at once: it is done once, or four times with four codes") {
    struct Case {
        const char* line;
        std::size_t booked;
    };
    for (const auto& [line, booked] :
         {Case{"brew P1", 1}, Case{"import FOLDER/more.json", 1}, Case{"count PAM-1 300kg --reason weighed", 4},
          Case{"plan ale", 4}, Case{"brew --recipe mild", 4}, Case{"plan P2 --cancel no-time", 1},
          Case{"reverse 13", 1}, Case{"tank fill FV1 B1", 1}, Case{"tank use FV2 repair", 1},
          Case{"tank add FV9 25L", 1}, Case{"order add hillside --line \"wheat malt=2x25kg@60\"", 4},
          Case{"item change \"pale ale malt\" --colour 7EBC", 1}}) {
        CAPTURE(std::string(line));
        const Brewery brewery;
        stock_up(brewery);
        const std::string typed = line;
        const Told told = work_together(brewery, [&](int) { return std::vector{typed}; });
        CHECK(told.booked.size() == booked);
        check_as_if_in_turn(brewery, told);
    }
}

TEST_CASE("an order is placed once and received once, whoever types it at the same time") {
    Brewery brewery;
    stock_up(brewery);
    brewery.done("discard PAM-1 395kg --reason damp");
    const Told placed = work_together(brewery, [](int) { return std::vector<std::string>{"buy --order"}; });
    CHECK(placed.booked.size() == 1);
    brewery.today("2026-03-17");
    const Told received = work_together(brewery, [](int) { return std::vector<std::string>{"receive --order O1"}; });
    CHECK(received.booked.size() == 1);
    CHECK(brewery.json("verify")["sound"] == true);
}

TEST_CASE("who is overtaken again and again has the ledger held for him, and is booked") {
    Brewery brewery;
    stock_up(brewery);
    int times = 0;
    const std::string other = "discard PAM-1 1g --reason spilled --ledger " + brewery.ledger_path();
    const Brewery elsewhere;
    brewery.surroundings().progress = [&](const std::string& line) {
        if (line == "booking" && ++times < 4) elsewhere.done(other);
    };
    CHECK(brewery.done("import FOLDER/more.json").find("SM-1") != std::string::npos);
    CHECK(times == 4);
    CHECK(brewery.json("lot SM-1")["on_hand_kg"] == 25.0);
}

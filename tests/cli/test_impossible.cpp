// What cannot have been is refused; what is hard to believe is asked about, or needs --sure.
#include "brewery.hpp"
#include <fmt/format.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Kit : Brewery {
    Kit() {
        done("init");
        done("brewhouse add garage 25L");
        write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 4\n");
        done("receive \"pale ale malt\" 25kg --lot PAM-1 --price 32.50");
        done("receive \"ale yeast\" 2L --lot Y-1");
        done("recipe add FOLDER/pale.toml");
    }
    // Brews with what they name as `fermented_with`, in a file.
    [[nodiscard]] Said imports(const std::string& brews) const {
        write("brews.json", R"({"schema": "lotwort/exchange/1", "brews": [)" + brews + "]}");
        return run("import FOLDER/brews.json");
    }
    void check_refused(const std::string& line, const std::string& error) const {
        const std::string before = done("export");
        const Said said = run(line);
        CHECK_MESSAGE(said.error == error, line);
        CHECK(said.hint.find("--sure") != std::string::npos);
        CHECK(done("export") == before);
        CHECK_MESSAGE(run(line + " --sure").error.empty(), line);
    }
};

std::string brew(const std::string& code, const std::string& into) {
    return fmt::format(R"({{"code": "{}", "date": "2026-03-10", "brewhouse": "garage"{}}})", code,
                       into.empty() ? "" : fmt::format(R"(, "fermented_with": "{}")", into));
}

} // namespace

TEST_CASE("a brew is run into no fermenter of its own, by way of others neither, and into none that was given up") {
    const Kit b;
    CHECK(b.imports(brew("X1", "X1")).error.find("brew `X1`: it cannot be run into its own fermenter") !=
          std::string::npos);
    CHECK(b.imports(brew("X1", "X2") + "," + brew("X2", "X3") + "," + brew("X3", "X1"))
              .error.find("was run into its fermenter itself") != std::string::npos);
    CHECK(b.imports(brew("X1", "") + "," + brew("X2", "X1") + "," + brew("X3", "X2")).error.empty());
    b.done("brew --recipe pale --add PAM-1=4kg");
    b.done("brew B1 --abandon \"the pump burst\"");
    CHECK(b.run("brew --recipe pale --add PAM-1=4kg --into B1").error ==
          "B1 was given up (the pump burst): its fermenter holds nothing to be run into");
    CHECK(b.imports(brew("X4", "B1")).error.find("was given up (the pump burst)") != std::string::npos);
}

TEST_CASE("yeast goes into no brew that it was harvested from, nor into one that its parents come of") {
    const Kit b;
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-1=0.5L@fermenter");
    b.done("receive \"ale yeast\" 1L --from-brew B1 --lot Y-2");
    CHECK(b.run("brew B1 --add Y-2=0.5L@fermenter").error ==
          "brew `B1`: lot `Y-2` comes of this brew itself, and cannot have gone into it");
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-2=0.5L@fermenter");
    b.done("receive \"ale yeast\" 1L --from-brew B2 --lot Y-3");
    b.done("lot Y-3 --split 0.5L --as Y-4");
    CHECK(b.run("brew B1 --add Y-4=0.1L@fermenter").status == 1);
    CHECK(b.run("brew B2 --add Y-4=0.1L@fermenter").status == 1);
    CHECK(b.run("brew B2 --add Y-1=0.1L@fermenter").error.empty());
    b.write("lots.json", R"({"schema": "lotwort/exchange/1", "lots": [
        {"code": "A", "item": "ale yeast", "received": "2026-03-12", "volume_l": 1, "made_from": [{"lot": "B", "volume_l": 1}]},
        {"code": "B", "item": "ale yeast", "received": "2026-03-12", "volume_l": 1, "made_from": [{"lot": "A", "volume_l": 1}]}]})");
    CHECK(b.run("import FOLDER/lots.json").status == 1);
}

TEST_CASE("what is hard to believe needs --sure where nobody can be asked") {
    const Kit b;
    b.check_refused("count PAM-1 1000kg --reason found", "1000 kg of PAM-1 counted, and only 25 kg of it ever came");
    b.check_refused("receive \"pale ale malt\" 25kg --price 3250",
                    "pale ale malt: 3250.00 for 25 kg is 100 times what the last lot cost, PAM-1: 32.50 for 25 kg");
    b.check_refused("receive \"pale ale malt\" 250kg --price 32.50 --lot CHEAP",
                    "pale ale malt: 32.50 for 250 kg is a 1000th of what the last lot cost, PAM-2: 3250.00 for 25 kg");
    b.check_refused("plan pale --volume 50L", "50 L is 2.0 times the 25 L that garage is meant for");
    b.check_refused("brew --recipe pale --volume 50L", "50 L is 2.0 times the 25 L that garage is meant for");
    b.check_refused("brew --recipe pale --add PAM-1=12kg",
                    "12 kg of pale ale malt weighed, where the recipe asks for 4 kg");
}

TEST_CASE("honest entries are not asked about") {
    const Kit b;
    for (const char* line :
         {"receive \"pale ale malt\" 1kg --price 4.80", "receive \"pale ale malt\" 25kg --price 0",
          "plan pale --volume 30L", "brew --recipe pale --add PAM-1=6kg", "count PAM-1 26kg --reason \"weighed short\"",
          "discard PAM-1 1kg --reason wet --to-supplier"})
        CHECK_MESSAGE(b.run(line).error.find("--sure") == std::string::npos, line);
    for (const char* line : {"receive \"pale ale malt\" 1kg --price 4.80", "plan pale --volume 30L"})
        CHECK_MESSAGE(b.run(line).error.empty(), line);
}

TEST_CASE("at a terminal it is asked, and only a yes books it") {
    Kit b;
    std::string asked;
    for (const char* answer : {"no", "", "yes"}) {
        b.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
            asked = question;
            return answer;
        };
        const Said said = b.run("plan pale --volume 50L");
        CHECK(asked == "50 L is 2.0 times the 25 L that garage is meant for; is that so? (yes or no) ");
        CHECK(said.error.empty() == (answer == std::string("yes")));
    }
}

TEST_CASE("the full kettle's gravity lies between the last runnings' and the first wort's") {
    const Kit b;
    b.done("plan pale --on 2026-03-14");
    b.done("brew P1");
    for (const char* line : {"measure B1 last-runnings 1.150", "measure B1 first-wort 1.004"}) {
        const Said said = b.run(line);
        CAPTURE(line);
        CHECK(said.status == 1);
        CHECK(said.hint.find("--sure") != std::string::npos);
    }
    b.done("measure B1 last-runnings 1.010"); // as they should
    b.done("measure B1 first-wort 1.072");
    b.done("measure B1 first-wort 1.004 --sure");
    b.write("log.csv", "brew,point,gravity\nB1,last-runnings,1.150\n");
    CHECK(b.run("import --readings FOLDER/log.csv").status == 1);
}

// What a new brewer types in the first hour, each line with what it answers.
#include "brewery.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

struct Typed {
    const char* line;
    const char* answers; // some of it
    bool is_taken = true;
};

// On 2026-01-20, with one sack, one hop, a kit of 30 L and a planned brew.
constexpr Typed first_hour[] = {
    // the one number that every brewer knows
    {"brewhouse add other 30L --efficiency 72%@fermenter --dry-run", "told: 72 ± 3 %"},
    {"recipe add plain 23L --gravity 1.042 --malt \"pale ale malt=100%\" --hop Fuggle=40g@boil,60 --dry-run",
     "original gravity 1.0420"},
    // as people write them
    {"receive \"pale ale malt\" 25kg --price 38,50 --dry-run", "would be: received 25 kg"},
    {"receive \"pale ale malt\" 4,5kg --dry-run", "received 4.5 kg"},
    {"receive \"pale ale malt\" 5 kg --dry-run", "received 5 kg"},
    {"receive \"pale ale malt\" 250lb --dry-run", "received 113.398 kg"},
    {"receive \"pale ale malt\" 5kg --on 17.01.2026 --dry-run", "is Saturday, 2026-01-17"},
    {"receive \"pale ale malt\" 5kg --on 2026-1-17 --dry-run", "is Saturday, 2026-01-17"},
    {"receive \"pale ale malt\" 5kg --on saturday --dry-run", "is Saturday, 2026-01-17"},
    {"receive \"pale ale malt\" 5kg --best-before 03/2027 --dry-run", "2027-03-31"},
    {"receive \"pale ale malt\" 5kg --on 01/02/2026 --dry-run", "may be either of two days", false},
    {"receive \"pale ale malt\" 5kg --extract 81% --basis dry --dry-run", "--basis dry is fine-dry"},
    {"receive \"pale ale malt\" 5kg --extract 78% --basis as-is --dry-run", "--basis as-is is fine-as-is"},
    {"receive \"pale ale malt\" 4250 --dry-run", "4250g", false},
    {"receive \"pale ale malt\" 5kg --extract 0.82 --basis dry --dry-run", "write 82%", false},
    {"brewhouse change kit --boil-off 9galUS/h --dry-run", "34.0687 L/h", false}, // more than the kit brews
    {"brewhouse change kit --boil-off 1galUS/h --dry-run", "boil-off 3.78541 L/h"},
    {"brewhouse change kit --absorption 0.12galUS/lb --dry-run", "wort held by the grain    1 L/kg"},
    // an item where a lot is meant
    {"discard Fuggle 10g --reason spilt --dry-run", "FUG-1: 10 g of 500 g taken out"},
    {"count \"pale ale malt\" 24.9kg --reason spilt --dry-run", "PAM-1: 24.9 kg counted"},
    {"lot \"pale ale malt\"", "PAM-1: pale ale malt"},
    {"brew P1 --weighed \"pale ale malt=4.2kg\" --dry-run", "PAM-1  pale ale malt   4.2 kg"},
    {"recipe add of-a-lot 23L --malt PAM-1=4kg --dry-run", "PAM-1 is a lot of pale ale malt"},
    {"receive raspberry 2kg --dry-run", "raspberry is new, and its name does not say what it is", false},
    {"receive raspberry 2kg --kind other --dry-run", "received 2 kg of raspberry"},
    // a one too many
    {"brew P1 --weighed PAM-1=14.11kg", "14.11 kg of pale ale malt weighed, where the recipe asks for", false},
    {"brew P1 --weighed PAM-1=1.41kg", "1.41 kg of pale ale malt weighed, where the recipe asks for", false},
};

} // namespace

TEST_CASE("what is typed in the first hour is taken, or refused with what to type") {
    Brewery b;
    b.today("2026-01-20");
    for (const char* line : {"init --yes", "receive \"pale ale malt\" 25kg", "receive Fuggle 500g",
                             "brewhouse add kit 30L --efficiency 72%@fermenter",
                             "recipe add ordinary 23L --gravity 1.042 --malt \"pale ale malt=100%\" --hop "
                             "Fuggle=40g@boil,60",
                             "plan ordinary"})
        b.done(line);
    for (const Typed& typed : first_hour) {
        CAPTURE(typed.line);
        const auto said = b.run(typed.line);
        CHECK((said.status == 0) == typed.is_taken);
        const std::string answer = said.out + said.error + said.hint;
        CAPTURE(answer);
        CHECK(answer.find(typed.answers) != std::string::npos);
    }
}

TEST_CASE("a first brew is measured and put right in one command each") {
    Brewery b;
    b.today("2026-01-20");
    for (const char* line :
         {"init --yes", "receive \"pale ale malt\" 25kg", "receive Fuggle 500g",
          "brewhouse add kit 30L --efficiency 72%@fermenter",
          "recipe add ordinary 30L --gravity 1.042 --malt \"pale ale malt=100%\" --hop "
          "Fuggle=40g@boil,60",
          "plan ordinary", "brew P1", "measure B1 kettle-full 36L@75C 1.038@20C fermenter 30L 1.042@20C"})
        b.done(line);
    CHECK(b.done("measure B1 strike-liquor 17.5L").find("if it was hot") != std::string::npos);
    CHECK(b.done("measure B1 --set-aside r2.gravity --reason misread").find("r4  fermenter  30 L") !=
          std::string::npos);
    CHECK(b.done("brew B1 --correct PAM-1=5kg").find("PAM-1  pale ale malt     5 kg") != std::string::npos);
}

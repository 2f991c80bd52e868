// A brewery with one malt, whose pale ale was planned and brewed on 2026-03-10: 23 L of 1.048.
#pragma once

#include "brewery.hpp"
#include <string>
#include <vector>

namespace lotwort::test {

struct PaleAle : Brewery {
    // kit: what else is known of the brewhouse before the brew, as it is typed
    explicit PaleAle(const std::vector<std::string>& kit = {}) : Brewery("2026-03-10") {
        write("pale.toml", R"(name = "pale"
volume_l = 23
original_gravity_sg = 1.048
boil_minutes = 60
grist = [{item = "pale ale malt", share_pct = 100}]
)");
        done("init");
        done("receive \"pale ale malt\" 25kg --lot PAM-1 --on 2026-02-20 --extract 81% --basis fine-dry");
        done("brewhouse add garage 23L");
        for (const std::string& line : kit) done(line);
        done("recipe add FOLDER/pale.toml");
        done("plan pale --on 2026-03-10");
        done("brew P1");
    }
};

} // namespace lotwort::test

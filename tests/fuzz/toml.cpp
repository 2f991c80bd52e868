// Recipes and brewhouses as people write them.
#include "fuzz_target.hpp"
#include <lotwort/exchange/toml_file.hpp>

using namespace lotwort;
using namespace lotwort::test;

FUZZ_TARGET(toml) {
    const auto text = as_text(data, size);
    may_refuse([&] { must(!read_recipe_toml(text, "fuzz").empty()); });
    may_refuse([&] { must(!read_brewhouse_toml(text, "fuzz").brewhouse.name.empty()); });
    return 0;
}

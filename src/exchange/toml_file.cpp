#include "record_reader.hpp"
#include <lotwort/exchange/toml_file.hpp>

namespace lotwort {

namespace {

struct RecipeFile {
    std::vector<Recipe> recipe;
};

bool has_field(const Document& document, std::string_view field) {
    for (std::uint32_t name = 1; name < document[0].end; name = document[name + 1].end)
        if (document.text(name) == field) return true;
    return false;
}

} // namespace

template <>
struct ExchangeFields<RecipeFile> {
    static constexpr auto list = Fields{field("recipe", &RecipeFile::recipe)};
};

template <>
struct ExchangeFields<BrewhouseFile> {
    static constexpr auto list =
        joined(flat(&BrewhouseFile::brewhouse), Fields{field("instruments", &BrewhouseFile::instruments)});
};

std::vector<Recipe> read_recipe_toml(std::string_view text, std::string_view source) {
    const Document document = parse_toml(text, source);
    Faults faults(document);
    RecordReader reader(document, faults);
    RecipeFile file;
    if (has_field(document, "recipe"))
        reader.read(0, file);
    else
        reader.read(0, file.recipe.emplace_back());
    faults.throw_if_any();
    return std::move(file.recipe);
}

BrewhouseFile read_brewhouse_toml(std::string_view text, std::string_view source) {
    const Document document = parse_toml(text, source);
    Faults faults(document);
    BrewhouseFile file;
    RecordReader(document, faults).read(0, file);
    faults.throw_if_any();
    return file;
}

} // namespace lotwort

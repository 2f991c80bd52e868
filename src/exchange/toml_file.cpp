#include "record_reader.hpp"
#include <lotwort/brew/recipe_gravity.hpp>
#include <lotwort/exchange/toml_file.hpp>

namespace lotwort {

namespace {

// A recipe may state its target in degrees Plato.
struct WrittenRecipe {
    Recipe recipe;
    std::optional<Plato> original_extract;
};

Recipe settled(const WrittenRecipe& written) {
    Recipe recipe = written.recipe;
    if (written.original_extract) recipe.original_gravity = gravity_of(*written.original_extract);
    return recipe;
}

struct RecipeFile {
    std::vector<WrittenRecipe> recipe;
};

void check_rules(const WrittenRecipe& written, const TellBroken& tell) {
    if (written.original_extract && written.recipe.original_gravity)
        return tell("original_gravity_plato", "stands beside original_gravity_sg; state one of them");
    check_rules(settled(written), tell);
}

bool has_field(const Document& document, std::string_view field) {
    for (std::uint32_t name = 1; name < document[0].end; name = document[name + 1].end)
        if (document.text(name) == field) return true;
    return false;
}

} // namespace

template <>
struct NameOf<WrittenRecipe> {
    static constexpr std::string_view field = NameOf<Recipe>::field;
    static std::string_view of(const WrittenRecipe& written) { return NameOf<Recipe>::of(written.recipe); }
};

template <>
struct ExchangeFields<WrittenRecipe> {
    static constexpr auto list =
        joined(flat(&WrittenRecipe::recipe),
               Fields{field("original_gravity_plato", &WrittenRecipe::original_extract, {0.0, 40.0})});
};

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
    RecordReader reader(document, faults, RecordReader::Figures::by_hand);
    RecipeFile file;
    if (has_field(document, "recipe"))
        reader.read(0, file);
    else
        reader.read(0, file.recipe.emplace_back());
    faults.throw_if_any();
    std::vector<Recipe> recipes;
    for (const WrittenRecipe& written : file.recipe) recipes.push_back(settled(written));
    return recipes;
}

BrewhouseFile read_brewhouse_toml(std::string_view text, std::string_view source) {
    const Document document = parse_toml(text, source);
    Faults faults(document);
    BrewhouseFile file;
    RecordReader(document, faults, RecordReader::Figures::by_hand).read(0, file);
    faults.throw_if_any();
    return file;
}

} // namespace lotwort

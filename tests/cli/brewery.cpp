#include "brewery.hpp"
#include "answers.hpp"
#include "folder.hpp"
#include <atomic>
#include <fmt/format.h>
#include <fstream>
#include <lotwort/core/error.hpp>
#include <unistd.h>

namespace lotwort::test {

Brewery::Brewery(const char* today) {
    static std::atomic<int> count{0};
    folder_ = quick_folder() / ("lotwort-test-" + std::to_string(getpid()) + "-" + std::to_string(++count));
    std::filesystem::create_directories(folder_);
    around_.today = *parse_iso_date(today);
    around_.booked_at = std::string(today) + "T12:00:00Z";
    around_.ledger = (folder_ / "ledger.lotwort").string();
    around_.serve = [this](const cli::Serving& asked) { served_ = asked; }; // nobody comes
}

Brewery::~Brewery() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

namespace {

std::string said_of(const cli::Serving& asked) {
    const std::string said = fmt::format("{} at {}, {}{}{} {} {}", asked.ledger, asked.address, asked.port,
                                         asked.in_network ? ", by a key" : "", asked.read_only ? ", to look at" : "",
                                         asked.by.value_or("nobody"), asked.units.value_or("metric"));
    return asked.json ? "{\"served\": \"" + said + "\"}\n" : said + "\n";
}

} // namespace

Said Brewery::run(const std::string& line) const {
    Said said;
    served_.reset();
    try {
        const auto answer = cli::dispatch(words_of(line), around_);
        said.status = answer.status;
        said.out = answer.text + (served_ ? said_of(*served_) : "");
    } catch (const Error& e) {
        said.status = static_cast<int>(e.kind());
        said.error = e.what();
        said.hint = e.hint();
    }
    if (said.out.starts_with("{\n \"schema\": \"lotwort/"))
        CHECK_MESSAGE(against_its_schema(said.out) == "", line); // what any test asks for holds
    return said;
}

std::string Brewery::done(const std::string& line) const {
    const Said said = run(line);
    CHECK_MESSAGE(said.error.empty(), line, ": ", said.error, " / ", said.hint);
    CHECK_MESSAGE(said.status == 0, line);
    return said.out;
}

Json Brewery::json(const std::string& line) const {
    const Said said = run(line + " --json");
    CHECK_MESSAGE(said.error.empty(), line, ": ", said.error, " / ", said.hint);
    if (said.out.empty()) return {};
    return Json::parse(said.out);
}

void Brewery::begin(const std::vector<std::string>& deliveries) const {
    done("init");
    done("brewhouse add home 23L");
    for (const std::string& delivery : deliveries) done("receive " + delivery);
}

void Brewery::begin_pale(double volume_l, double malt_kg, const std::vector<std::string>& deliveries) const {
    done("init");
    done("brewhouse add garage 25L");
    for (const std::string& delivery : deliveries) done("receive " + delivery);
    write("pale.toml", fmt::format("name = \"pale\"\nvolume_l = {}\n[[grist]]\nitem = \"pale ale malt\"\n"
                                   "mass_kg = {}\n",
                                   volume_l, malt_kg));
    done("recipe add FOLDER/pale.toml");
}

void Brewery::put_recipe(const std::string& name, const std::string& grist, const std::string& hops) const {
    write(name + ".toml", "name = \"" + name + "\"\nvolume_l = 23\nboil_minutes = 60\ngrist = [" + grist +
                              "]\nhops = [" + hops + "]\n");
    done("recipe add FOLDER/" + name + ".toml");
}

void Brewery::check_round_trip() const {
    const std::string other = " --ledger FOLDER/other.lotwort";
    done("export FOLDER/all.json --force");
    done("init" + other);
    done("import FOLDER/all.json" + other);
    CHECK(done("export" + other) == done("export"));
    CHECK(json("verify" + other)["sound"] == true);
    CHECK(json("verify")["sound"] == true);
}

void Brewery::write(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name) << text;
}

std::string Brewery::read(const std::string& name) const {
    std::ifstream in(folder_ / name, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void Brewery::today(const char* day) {
    around_.today = *parse_iso_date(day);
    around_.booked_at = std::string(day) + "T12:00:00Z";
}

std::vector<std::string> Brewery::words_of(const std::string& line) const {
    std::vector<std::string> words;
    std::string word;
    bool quoted = false, any = false;
    for (const char c : line + " ") {
        if (c == '"') {
            quoted = !quoted;
            any = true;
        } else if (c == ' ' && !quoted) {
            if (any || !word.empty()) words.push_back(word);
            word.clear();
            any = false;
        } else {
            word += c;
        }
    }
    for (auto& w : words)
        if (const auto at = w.find("FOLDER"); at != std::string::npos) w.replace(at, 6, folder_.string());
    return words;
}

} // namespace lotwort::test

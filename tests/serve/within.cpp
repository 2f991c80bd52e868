#include "within.hpp"
#include <algorithm>
#include <cctype>
#include <chrono>
#include <lotwort/core/date.hpp>
#include <utility>

namespace lotwort::test {

namespace {

constexpr int port = 8017;

verbs::Serving asked_of(const std::string& folder) {
    return {.ledger = folder + "/b.lotwort", .port = port, .by = {}, .units = {}};
}

} // namespace

Within::Within(const std::vector<std::string>& lines)
    : made_(lines), runner_(asked_of(made_.folder()), {},
                            {.read_clock =
                                 [this](verbs::Surroundings& around) {
                                     around.today = *parse_iso_date("2026-03-14");
                                     around.booked_at = "2026-03-14T10:00:00Z";
                                     wait_aside();
                                 },
                             .say = {}}),
      site_(runner_, {"127.0.0.1", port, false}) {}

Within::~Within() {
    let_go();
}

void Within::hold_up() {
    const std::scoped_lock lock(mutex_);
    is_held_ = true;
}

void Within::let_go() {
    const std::scoped_lock lock(mutex_);
    is_held_ = false;
    goes_.notify_all();
}

// The clock is read at the beginning of each run.
void Within::wait_aside() {
    if (std::this_thread::get_id() == main_) return;
    std::unique_lock lock(mutex_);
    goes_.wait(lock, [&] { return !is_held_; });
}

Got Within::answered(const serve::Request& request) {
    const serve::Reply reply = site_.answer(request);
    Got got{.status = reply.status, .headers = {}, .body = reply.body};
    for (auto [name, value] : reply.headers) {
        for (char& c : name) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        got.headers[name] = value;
    }
    if (const auto cookie = got.headers.find("set-cookie"); cookie != got.headers.end())
        cookie_ = cookie->second.substr(0, cookie->second.find(';'));
    return got;
}

Got Within::get(const std::string& address) {
    const auto mark = std::min(address.find('?'), address.size());
    serve::Request request{.method = "GET", .path = address.substr(0, mark), .query = {}, .headers = {}, .body = {}};
    if (mark < address.size()) request.query = address.substr(mark + 1);
    request.headers = {{"host", "127.0.0.1:8017"}, {"cookie", cookie_}};
    return answered(request);
}

Got Within::post(const std::string& path, const std::string& body) {
    return answered({.method = "POST",
                     .path = path,
                     .query = {},
                     .headers = {{"host", "127.0.0.1:8017"},
                                 {"cookie", cookie_},
                                 {"content-type", "application/x-www-form-urlencoded"}},
                     .body = body});
}

Got Within::ended(const std::string& address) {
    Got got = get(address);
    while (!work_of(got).empty()) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        got = get(address);
    }
    return got;
}

std::string work_of(const Got& got) {
    const auto refresh = got.headers.find("refresh");
    if (refresh == got.headers.end()) return {};
    return refresh->second.substr(refresh->second.find("/search/"));
}

} // namespace lotwort::test

#include "sessions.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <sys/random.h>

namespace lotwort::serve {

namespace {

constexpr std::chrono::hours longest_unused{16};
constexpr std::size_t most_sessions = 100; // then the one unused for longest goes

} // namespace

std::string unguessable() {
    std::array<unsigned char, 16> bytes{};
    LOTWORT_CHECK(getrandom(bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size()));
    std::string text;
    for (const unsigned char byte : bytes) text += fmt::format("{:02x}", byte);
    return text;
}

bool is_same_secret(std::string_view a, std::string_view b) {
    if (a.size() != b.size() || a.empty()) return false;
    unsigned differ = 0;
    for (std::size_t i = 0; i < a.size(); ++i)
        differ |= static_cast<unsigned>(static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]));
    return differ == 0;
}

std::string Sessions::key() const {
    const std::scoped_lock lock(mutex_);
    return key_;
}

std::optional<Session> Sessions::enter(std::string_view key, const std::string& name) {
    {
        const std::scoped_lock lock(mutex_);
        if (!is_same_secret(key, key_)) return std::nullopt;
        key_ = unguessable();
    }
    return open(name, false);
}

Session Sessions::open(const std::string& name, bool is_local) {
    const std::scoped_lock lock(mutex_);
    if (kept_.size() >= most_sessions)
        kept_.erase(std::ranges::min_element(kept_, {}, [](const auto& kept) { return kept.second.used; }));
    const Session session{unguessable(), unguessable(), name, ++last_number_, is_local};
    kept_[session.id] = {session, Clock::now()};
    return session;
}

std::optional<Session> Sessions::find(std::string_view id, Clock::time_point now) {
    const std::scoped_lock lock(mutex_);
    const auto found = kept_.find(id);
    if (found == kept_.end()) return std::nullopt;
    if (now - found->second.used > longest_unused) {
        kept_.erase(found);
        return std::nullopt;
    }
    found->second.used = now;
    return found->second.session;
}

std::vector<Session> Sessions::all() const {
    const std::scoped_lock lock(mutex_);
    std::vector<Session> sessions;
    for (const auto& [id, kept] : kept_) sessions.push_back(kept.session);
    std::ranges::sort(sessions, {}, &Session::number);
    return sessions;
}

bool Sessions::end(int number) {
    const std::scoped_lock lock(mutex_);
    return std::erase_if(kept_, [&](const auto& kept) { return kept.second.session.number == number; }) > 0;
}

} // namespace lotwort::serve

#include "works.hpp"
#include "page.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <stdexcept>

namespace lotwort::serve {

namespace {

constexpr std::size_t most_kept = 16, most_under_way = 4;

} // namespace

Work::Work(std::string work_key, std::string looks_for, std::string address, Fields form, bool may_book)
    : id(unguessable()), key(std::move(work_key)), title(std::move(looks_for)), back(std::move(address)),
      sent(std::move(form)), books(may_book) {}

std::string without_query(const std::string& address) {
    return address.substr(0, address.find('?'));
}

Pursuit Work::pursuit() {
    return {[this](const std::string& line) {
                const std::scoped_lock lock(mutex_);
                said_ = line;
            },
            &stop_};
}

std::string Work::said() const {
    const std::scoped_lock lock(mutex_);
    return said_;
}

std::chrono::seconds Work::since() const {
    return std::chrono::duration_cast<std::chrono::seconds>(std::chrono::steady_clock::now() - begun_);
}

bool Work::is_done(std::chrono::milliseconds patience) const {
    std::unique_lock lock(mutex_);
    return is_over_.wait_for(lock, patience, [&] { return done_; });
}

void Work::pursue(const std::function<Came(Work&)>& run) {
    Came came;
    try {
        came = run(*this);
    } catch (const std::exception& fault) { // of ours: the page says so, and the others go on
        came = {{}, [what = std::string(fault.what())](const Visit&) -> Page { throw std::runtime_error(what); }};
    }
    const std::scoped_lock lock(mutex_);
    came_ = std::move(came);
    done_ = true;
    is_over_.notify_all();
}

Works::~Works() {
    for (Kept& kept : kept_) kept.work->stop();
    for (Kept& kept : kept_) kept.thread.join();
}

// Those that are done go, the oldest first.
void Works::make_room() {
    while (kept_.size() >= most_kept) {
        const auto oldest = std::ranges::find_if(kept_, [](const Kept& kept) { return kept.work->is_done(); });
        if (oldest == kept_.end()) return;
        oldest->thread.join();
        kept_.erase(oldest);
    }
}

std::shared_ptr<Work> Works::begin(const std::string& key, const std::string& title, const std::string& back,
                                   const Fields& sent, std::function<Work::Came(Work&)> run, bool books) {
    const std::scoped_lock lock(mutex_);
    for (const Kept& kept : kept_)
        if (kept.work->key == key && !kept.work->is_stopped() && (sent.pairs().empty() || !kept.work->is_done()))
            return kept.work;
    const auto under_way = std::ranges::count_if(kept_, [](const Kept& kept) { return !kept.work->is_done(); });
    if (static_cast<std::size_t>(under_way) >= most_under_way)
        throw Error(ErrorKind::refused, "four searches are under way already", "ask again when one of them has ended");
    make_room();
    auto work = std::make_shared<Work>(key, title, back, sent, books);
    kept_.push_back({work, std::thread([work, run = std::move(run)] { work->pursue(run); })});
    return work;
}

std::shared_ptr<Work> Works::find(std::string_view id) const {
    const std::scoped_lock lock(mutex_);
    for (const Kept& kept : kept_)
        if (is_same_secret(kept.work->id, id)) return kept.work;
    return nullptr;
}

} // namespace lotwort::serve

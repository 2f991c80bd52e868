// libevent, and nothing else of the program, is known here.
#include "http.hpp"
#include <algorithm>
#include <arpa/inet.h>
#include <array>
#include <atomic>
#include <cerrno>
#include <condition_variable>
#include <cstring>
#include <deque>
#include <event2/buffer.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <event2/http.h>
#include <event2/keyvalq_struct.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <list>
#include <lotwort/core/error.hpp>
#include <mutex>
#include <sys/socket.h>
#include <thread>
#include <unistd.h>

namespace lotwort::serve {

namespace {

using Clock = std::chrono::steady_clock;

// A connection, from its first byte until libevent has let go of it. We hold a reference of our own, so that it can be
// looked at whoever closed it.
struct Connection {
    bufferevent* stream = nullptr;
    Clock::time_point since; // it was opened, or answered last
    bool is_answering = false;
    bool has_answered = false;
    bool is_cut = false;
};

// A request on its way through the threads. `to` is null where who asked has gone.
struct Job {
    evhttp_request* to = nullptr;
    bufferevent* stream = nullptr;
    Request request;
    Reply reply;
};

struct Closed {
    void operator()(event_base* base) const { event_base_free(base); }
    void operator()(evhttp* http) const { evhttp_free(http); }
    void operator()(event* e) const { event_free(e); }
};

Request request_of(evhttp_request* from) {
    Request request;
    const auto method = evhttp_request_get_command(from);
    request.method = method == EVHTTP_REQ_POST ? "POST" : method == EVHTTP_REQ_HEAD ? "HEAD" : "GET";
    if (const evhttp_uri* uri = evhttp_request_get_evhttp_uri(from)) {
        const char *path = evhttp_uri_get_path(uri), *query = evhttp_uri_get_query(uri);
        std::size_t size = 0;
        const std::unique_ptr<char, decltype(&std::free)> plain(
            evhttp_uridecode(path != nullptr ? path : "/", 0, &size), std::free);
        if (plain) request.path.assign(plain.get(), size);
        if (query != nullptr) request.query = query;
    }
    for (const evkeyval* header = evhttp_request_get_input_headers(from)->tqh_first; header != nullptr;
         header = header->next.tqe_next) {
        std::string name = header->key;
        std::ranges::transform(name, name.begin(),
                               [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 'a' - 'A') : c; });
        // said twice, neither counts
        const auto [at, is_new] = request.headers.emplace(name, header->value);
        if (!is_new) at->second = "(twice)";
    }
    evbuffer* body = evhttp_request_get_input_buffer(from);
    request.body.resize(evbuffer_get_length(body));
    evbuffer_remove(body, request.body.data(), request.body.size());
    return request;
}

// A name or value that would break the header's line is a bug of ours.
void put_header(evhttp_request* to, const std::string& name, const std::string& value) {
    LOTWORT_CHECK(value.find_first_of("\r\n") == std::string::npos);
    evhttp_add_header(evhttp_request_get_output_headers(to), name.c_str(), value.c_str());
}

void give(evhttp_request* to, const Reply& reply) {
    put_header(to, "Content-Type", reply.type);
    for (const auto& [name, value] : reply.headers) put_header(to, name, value);
    evbuffer* body = evbuffer_new();
    evbuffer_add(body, reply.body.data(), reply.body.size());
    evhttp_send_reply(to, reply.status, nullptr, body);
    evbuffer_free(body);
}

} // namespace

struct Http::Impl {
    Impl(const std::string& address, int port_wished, const Limits& given);
    ~Impl();
    void run(const Answer& answer);
    void work(const Answer& answer);
    void take(evhttp_request* request);
    void give_back();
    bufferevent* open();
    void sweep();
    void cut(Connection& connection);
    Connection* of(bufferevent* stream);

    Limits limits;
    int port = 0;
    std::array<int, 2> wake{-1, -1}; // a byte: there are answers to give, or it is time to stop
    std::unique_ptr<event_base, Closed> base;
    std::unique_ptr<evhttp, Closed> http;
    std::unique_ptr<event, Closed> woken, tick;
    std::list<Connection> connections;
    std::list<std::shared_ptr<Job>> asked; // all that are not answered, of this thread

    std::mutex mutex; // of what follows
    std::condition_variable there_is_work;
    std::deque<std::shared_ptr<Job>> todo, done;
    bool ends = false;
};

Http::Impl::Impl(const std::string& address, int port_wished, const Limits& given) : limits(given) {
    if (::pipe2(wake.data(), O_CLOEXEC | O_NONBLOCK) != 0)
        throw Error(ErrorKind::refused, fmt::format("no pipe can be opened: {}", std::strerror(errno)));
    base.reset(event_base_new());
    http.reset(evhttp_new(base.get()));
    LOTWORT_CHECK(base && http);
    evhttp_set_max_headers_size(http.get(), static_cast<ev_ssize_t>(limits.header_bytes));
    evhttp_set_max_body_size(http.get(), static_cast<ev_ssize_t>(limits.body_bytes));
    evhttp_set_timeout(http.get(), 30); // of one side that neither sends nor takes
    evhttp_set_allowed_methods(http.get(), EVHTTP_REQ_GET | EVHTTP_REQ_POST | EVHTTP_REQ_HEAD);
    evhttp_set_default_content_type(http.get(), nullptr);
    evhttp_set_bevcb(
        http.get(), [](event_base*, void* self) { return static_cast<Impl*>(self)->open(); }, this);
    evhttp_set_gencb(
        http.get(), [](evhttp_request* request, void* self) { static_cast<Impl*>(self)->take(request); }, this);
    evhttp_bound_socket* bound =
        evhttp_bind_socket_with_handle(http.get(), address.c_str(), static_cast<ev_uint16_t>(port_wished));
    if (bound == nullptr) {
        const int fault = errno;
        throw Error(ErrorKind::refused,
                    fmt::format("cannot listen on {}, port {}: {}", address, port_wished,
                                fault == EADDRNOTAVAIL ? "this machine has no such address" : std::strerror(fault)),
                    fault == EADDRINUSE ? "another program listens there: name another port, --listen ADDRESS:PORT"
                                        : "`hostname -I` lists this machine's addresses; --listen ADDRESS:PORT");
    }
    sockaddr_storage at{};
    socklen_t size = sizeof at;
    getsockname(evhttp_bound_socket_get_fd(bound), reinterpret_cast<sockaddr*>(&at), &size);
    port = ntohs(at.ss_family == AF_INET6 ? reinterpret_cast<sockaddr_in6*>(&at)->sin6_port
                                          : reinterpret_cast<sockaddr_in*>(&at)->sin_port);
    woken.reset(event_new(
        base.get(), wake[0], EV_READ | EV_PERSIST,
        [](evutil_socket_t, short, void* self) { static_cast<Impl*>(self)->give_back(); }, this));
    event_add(woken.get(), nullptr);
    tick.reset(event_new(
        base.get(), -1, EV_PERSIST, [](evutil_socket_t, short, void* self) { static_cast<Impl*>(self)->sweep(); },
        this));
    const timeval often{0, 100'000};
    event_add(tick.get(), &often);
}

Http::Impl::~Impl() {
    woken.reset();
    tick.reset();
    http.reset();
    for (const Connection& connection : connections) bufferevent_decref(connection.stream);
    base.reset();
    for (const int end : wake) ::close(end);
}

bufferevent* Http::Impl::open() {
    sweep();
    // the oldest that is not being answered goes: who asks in earnest is done in a moment
    std::size_t open_ones = 0;
    for (const Connection& c : connections) open_ones += c.is_cut ? 0 : 1;
    for (auto c = connections.begin(); c != connections.end() && open_ones >= limits.connections; ++c)
        if (!c->is_answering && !c->is_cut) {
            cut(*c);
            --open_ones;
        }
    bufferevent* stream = bufferevent_socket_new(base.get(), -1, 0);
    if (stream == nullptr) return nullptr;
    bufferevent_incref(stream);
    connections.push_back({.stream = stream, .since = Clock::now()});
    return stream;
}

void Http::Impl::cut(Connection& connection) {
    if (const int socket = bufferevent_getfd(connection.stream); socket >= 0) ::shutdown(socket, SHUT_RDWR);
    connection.is_cut = true; // libevent hears of it, and closes
}

Connection* Http::Impl::of(bufferevent* stream) {
    const auto found = std::ranges::find(connections, stream, &Connection::stream);
    return found == connections.end() ? nullptr : &*found;
}

// Lets go of what is closed, and closes what is late.
void Http::Impl::sweep() {
    const auto now = Clock::now();
    for (auto c = connections.begin(); c != connections.end();) {
        bufferevent_event_cb on_event = nullptr;
        bufferevent_getcb(c->stream, nullptr, nullptr, &on_event, nullptr);
        if (on_event == nullptr) { // freed, but for us; its socket may be another's by now
            bufferevent_decref(c->stream);
            c = connections.erase(c);
            continue;
        }
        const bool between = c->has_answered && evbuffer_get_length(bufferevent_get_input(c->stream)) == 0;
        const auto patience = between ? limits.idle : limits.whole_request;
        if (!c->is_answering && !c->is_cut && now - c->since > patience) cut(*c);
        ++c;
    }
}

// Of this thread: a whole request has come.
void Http::Impl::take(evhttp_request* request) {
    evhttp_connection* from = evhttp_request_get_connection(request);
    auto job = std::make_shared<Job>();
    job->to = request;
    job->stream = evhttp_connection_get_bufferevent(from);
    job->request = request_of(request);
    if (Connection* connection = of(job->stream)) connection->is_answering = true;
    asked.push_back(job);
    evhttp_connection_set_closecb(
        from,
        [](evhttp_connection* gone, void* self) {
            for (const auto& waiting : static_cast<Impl*>(self)->asked)
                if (waiting->to != nullptr && evhttp_request_get_connection(waiting->to) == gone) waiting->to = nullptr;
        },
        this);
    const std::scoped_lock lock(mutex);
    if (todo.size() >= limits.waiting) {
        job->reply = {503,
                      "text/plain; charset=utf-8",
                      "Too many ask at once: come again in a moment.\n",
                      {{"Retry-After", "1"}}};
        done.push_back(std::move(job));
        (void)!::write(wake[1], "", 1);
    } else {
        todo.push_back(std::move(job));
        there_is_work.notify_one();
    }
}

void Http::Impl::give_back() {
    std::array<char, 256> bytes{};
    while (::read(wake[0], bytes.data(), bytes.size()) > 0) {
    }
    std::deque<std::shared_ptr<Job>> ready;
    {
        const std::scoped_lock lock(mutex);
        ready.swap(done);
        if (ends) event_base_loopbreak(base.get());
    }
    for (const auto& job : ready) {
        asked.remove(job);
        if (job->to == nullptr) continue;
        if (Connection* connection = of(job->stream)) {
            connection->is_answering = false;
            connection->has_answered = true;
            connection->since = Clock::now();
        }
        give(job->to, job->reply);
    }
}

// Of the other threads.
void Http::Impl::work(const Answer& answer) {
    while (true) {
        std::shared_ptr<Job> job;
        {
            std::unique_lock lock(mutex);
            there_is_work.wait(lock, [&] { return ends || !todo.empty(); });
            if (ends) return;
            job = std::move(todo.front());
            todo.pop_front();
        }
        job->reply = answer(job->request);
        const std::scoped_lock lock(mutex);
        done.push_back(std::move(job));
        (void)!::write(wake[1], "", 1); // a full pipe wakes it all the same
    }
}

void Http::Impl::run(const Answer& answer) {
    std::vector<std::thread> threads;
    for (int i = 0; i < limits.answering; ++i) threads.emplace_back([&] { work(answer); });
    event_base_dispatch(base.get());
    there_is_work.notify_all();
    for (std::thread& thread : threads) thread.join();
}

Http::Http(const std::string& address, int port, const Limits& limits)
    : impl_(std::make_unique<Impl>(address, port, limits)) {}
Http::~Http() = default;

int Http::port() const {
    return impl_->port;
}

void Http::run(const Answer& answer) {
    impl_->run(answer);
}

void Http::stop() {
    const std::scoped_lock lock(impl_->mutex);
    impl_->ends = true;
    (void)!::write(impl_->wake[1], "", 1);
}

} // namespace lotwort::serve

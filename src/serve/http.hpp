// Requests in, replies out: what is known of the network stays behind this.
//
// One thread waits for all connections and reads whole requests; a few others answer them. So who sends a header by the
// letter, or ten thousand connections, keeps nobody else waiting: the connection that has been unfinished for longest
// goes first.
#pragma once

#include <chrono>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace lotwort::serve {

struct Request {
    std::string method;                                      // GET, HEAD or POST
    std::string path;                                        // decoded: /stock/pale ale malt
    std::string query;                                       // as sent, behind the question mark
    std::map<std::string, std::string, std::less<>> headers; // by names in small letters
    std::string body;
    [[nodiscard]] std::string header(std::string_view name) const { // empty where there is none
        const auto found = headers.find(name);
        return found == headers.end() ? std::string() : found->second;
    }
};

struct Reply {
    int status = 200;
    std::string type = "text/html; charset=utf-8";
    std::string body;
    std::vector<std::pair<std::string, std::string>> headers = {};
};

struct Limits {
    std::size_t header_bytes = 16'384;
    std::size_t body_bytes = 1'000'000;
    std::size_t connections = 256;
    std::chrono::milliseconds whole_request{10'000}; // from its first byte, or from the connection, to its last byte
    std::chrono::milliseconds idle{30'000};          // between two requests of a connection
    int answering = 4;                               // requests at a time
    std::size_t waiting = 128;                       // for one of these; the next is told to come again
};

class Http {
public:
    using Answer = std::function<Reply(const Request&)>;

    // Port 0: any. Error(refused) where the address is none of this machine's, or the port is taken.
    Http(const std::string& address, int port, const Limits& limits);
    ~Http();
    Http(const Http&) = delete;
    Http& operator=(const Http&) = delete;

    [[nodiscard]] int port() const;
    // Until `stop` is called, from any thread. `answer` is called by several threads at once and must not throw.
    void run(const Answer& answer);
    void stop();

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace lotwort::serve

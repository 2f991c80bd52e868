// The program serving a ledger of its own, as a child; and requests to it, byte by byte where need be.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <sys/types.h>
#include <vector>

namespace lotwort::test {

// What came back.
struct Got {
    int status = 0;                             // 0: nothing, the connection was closed
    std::map<std::string, std::string> headers; // in small letters
    std::string body;
};

// A folder with a ledger in it, and the program on the loopback address at a port of its own.
class Served {
public:
    // `lines`: command lines that make the ledger, without the program's name. `options` go behind `serve`.
    explicit Served(const std::vector<std::string>& lines, const std::string& options = {});
    ~Served();
    Served(const Served&) = delete;
    Served& operator=(const Served&) = delete;

    void start();
    void kill(int signal); // and waits for its end
    // A command line beside it; its output. Throws std::runtime_error where it fails, unless it may.
    std::string run(const std::string& line, bool may_fail = false) const;

    [[nodiscard]] const std::string& address() const { return address_; } // http://127.0.0.1:40123/
    [[nodiscard]] int port() const { return port_; }
    [[nodiscard]] const std::string& folder() const { return folder_; }
    [[nodiscard]] pid_t pid() const { return pid_; }

    // One request on a connection of its own; the cookies that come are kept and sent.
    using Headers = std::vector<std::pair<std::string, std::string>>;
    Got get(const std::string& path, const Headers& more = {});
    Got post(const std::string& path, const std::string& body, const Headers& more = {});
    // A form of a page, as a browser sends it: its hidden fields, and these.
    Got send(const std::string& page, const std::string& form, const std::map<std::string, std::string>& fields);
    Got json(const std::string& verb, const std::string& body, const std::string& key = {});
    [[nodiscard]] Got ask(const std::string& bytes) const; // the bytes themselves

private:
    std::string folder_, options_, address_, cookie_;
    int port_ = 0;
    pid_t pid_ = -1;
};

// A connection to a port of this machine; below 0: none.
[[nodiscard]] int connected(int port);

// Hidden fields of the form of that id, as they are to be sent again.
[[nodiscard]] std::map<std::string, std::string> hidden_fields(const std::string& page, const std::string& form);
[[nodiscard]] std::string encoded(const std::map<std::string, std::string>& fields);

} // namespace lotwort::test

#include "served.hpp"
#include <algorithm>
#include <arpa/inet.h>
#include <array>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <netinet/in.h>
#include <poll.h>
#include <stdexcept>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

namespace lotwort::test {

namespace {

constexpr int patience_ms = 30'000;

std::string read_line(int from) {
    std::string line;
    char c = 0;
    pollfd waits{from, POLLIN, 0};
    while (poll(&waits, 1, patience_ms) > 0 && ::read(from, &c, 1) == 1 && c != '\n') line += c;
    return line;
}

std::string undone(std::string text) {
    for (const auto& [entity, sign] : {std::pair("&lt;", "<"), {"&gt;", ">"}, {"&quot;", "\""}, {"&amp;", "&"}})
        for (auto at = text.find(entity); at != std::string::npos; at = text.find(entity, at + 1))
            text.replace(at, std::string_view(entity).size(), sign);
    return text;
}

std::string attribute(std::string_view tag, const std::string& name) {
    const auto at = tag.find(" " + name + "=\"");
    if (at == std::string_view::npos) return {};
    const auto from = at + name.size() + 3;
    return undone(std::string(tag.substr(from, tag.find('"', from) - from)));
}

std::string encoded_text(const std::string& text) {
    std::string out;
    std::array<char, 4> escape{};
    for (const char c : text) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        std::snprintf(escape.data(), escape.size(), "%%%02X", static_cast<unsigned>(static_cast<unsigned char>(c)));
        out += plain ? std::string(1, c) : std::string(escape.data());
    }
    return out;
}

Got parsed(const std::string& bytes) {
    Got got;
    const auto end = bytes.find("\r\n\r\n");
    if (end == std::string::npos || bytes.size() < 12) return got;
    got.status = std::atoi(bytes.c_str() + 9);
    got.body = bytes.substr(end + 4);
    for (auto at = bytes.find("\r\n"); at < end;) {
        const auto next = bytes.find("\r\n", at + 2);
        const std::string line = bytes.substr(at + 2, next - at - 2);
        const auto colon = line.find(": ");
        std::string name = line.substr(0, colon);
        std::ranges::transform(name, name.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        if (colon != std::string::npos) got.headers[name] = line.substr(colon + 2);
        at = next;
    }
    return got;
}

} // namespace

int connected(int port) {
    const int socket_of = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (::connect(socket_of, reinterpret_cast<sockaddr*>(&to), sizeof to) == 0) return socket_of;
    ::close(socket_of);
    return -1;
}

Served::Served(const std::vector<std::string>& lines, const std::string& options) : options_(options) {
    std::string name = (std::filesystem::temp_directory_path() / "lotwort-serve-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder: " + name);
    folder_ = name;
    for (const std::string& line : lines) (void)run(line);
    start();
}

Served::~Served() {
    kill(SIGTERM);
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

void Served::start() {
    std::array<int, 2> said{};
    if (pipe2(said.data(), O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
    const std::string line =
        "exec '" LOTWORT_PROGRAM "' serve --json " +
        (options_.find("--listen") == std::string::npos ? "--listen 127.0.0.1:0 " : std::string()) + options_;
    pid_ = fork();
    if (pid_ == 0) {
        dup2(said[1], STDOUT_FILENO);
        if (chdir(folder_.c_str()) != 0) _exit(126);
        setenv("LOTWORT_LEDGER", (folder_ + "/b.lotwort").c_str(), 1);
        setenv("LOTWORT_TODAY", "2026-03-14", 1);
        unsetenv("LOTWORT_BY");
        execl("/bin/sh", "sh", "-c", line.c_str(), nullptr);
        _exit(127);
    }
    ::close(said[1]);
    const std::string first = read_line(said[0]);
    const auto at = first.find("\"address\": \"");
    ::close(said[0]);
    if (at == std::string::npos) throw std::runtime_error("it does not serve: " + first);
    address_ = first.substr(at + 12, first.find('"', at + 12) - at - 12);
    port_ = std::atoi(address_.c_str() + address_.rfind(':') + 1);
}

void Served::kill(int signal) {
    if (pid_ <= 0) return;
    ::kill(pid_, signal);
    waitpid(pid_, nullptr, 0);
    pid_ = -1;
}

std::string Served::run(const std::string& line, bool may_fail) const {
    const std::string command = "cd '" + folder_ + "' && LOTWORT_LEDGER='" + folder_ +
                                "/b.lotwort' LOTWORT_TODAY=2026-03-14 '" LOTWORT_PROGRAM "' " + line + " 2>&1";
    std::FILE* pipe = popen(command.c_str(), "r");
    std::string out;
    std::array<char, 4096> buffer{};
    for (std::size_t size = 0; (size = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        out.append(buffer.data(), size);
    if (pclose(pipe) != 0 && !may_fail) throw std::runtime_error(line + ": " + out);
    return out;
}

Got Served::ask(const std::string& bytes) const {
    const int to = connected(port_);
    if (to < 0) return {};
    for (std::size_t sent = 0; sent < bytes.size();) {
        const ssize_t size = ::send(to, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
        if (size <= 0) break;
        sent += static_cast<std::size_t>(size);
    }
    std::string got;
    std::array<char, 16384> buffer{};
    pollfd waits{to, POLLIN, 0};
    for (ssize_t size = 0;
         poll(&waits, 1, patience_ms) > 0 && (size = ::recv(to, buffer.data(), buffer.size(), 0)) > 0;)
        got.append(buffer.data(), static_cast<std::size_t>(size));
    ::close(to);
    return parsed(got);
}

namespace {

std::string request(const std::string& method, const std::string& path, int port, const std::string& cookie,
                    const Served::Headers& more, const std::string& body) {
    std::string text = method + " " + path + " HTTP/1.1\r\nConnection: close\r\n";
    const auto is_said = [&](const std::string& name) {
        return std::ranges::any_of(more, [&](const auto& header) { return header.first == name; });
    };
    if (!is_said("Host")) text += "Host: 127.0.0.1:" + std::to_string(port) + "\r\n";
    if (!cookie.empty() && !is_said("Cookie")) text += "Cookie: " + cookie + "\r\n";
    for (const auto& [name, value] : more) text += name + ": " + value + "\r\n";
    if (method == "POST") text += "Content-Length: " + std::to_string(body.size()) + "\r\n";
    return text + "\r\n" + body;
}

} // namespace

Got Served::get(const std::string& path, const Headers& more) {
    Got got = ask(request("GET", path, port_, cookie_, more, {}));
    if (got.headers.contains("set-cookie")) {
        const std::string& all = got.headers["set-cookie"];
        cookie_ = all.substr(0, all.find(';'));
    }
    return got;
}

Got Served::post(const std::string& path, const std::string& body, const Headers& more) {
    Headers all = more;
    const bool has_type = std::ranges::any_of(more, [](const auto& h) { return h.first == "Content-Type"; });
    if (!has_type) all.emplace_back("Content-Type", "application/x-www-form-urlencoded");
    Got got = ask(request("POST", path, port_, cookie_, all, body));
    if (got.headers.contains("set-cookie")) {
        const std::string& said = got.headers["set-cookie"];
        cookie_ = said.substr(0, said.find(';'));
    }
    return got;
}

Got Served::send(const std::string& page, const std::string& form, const std::map<std::string, std::string>& fields) {
    const std::string drawn = get(page).body;
    const auto at = drawn.find(" id=\"" + form + "\"");
    const auto begin = drawn.rfind("<form", at);
    if (at == std::string::npos || begin == std::string::npos)
        throw std::runtime_error("no form " + form + " on " + page);
    auto all = hidden_fields(drawn, form);
    for (const auto& [name, value] : fields) all[name] = value;
    return post(attribute(drawn.substr(begin, drawn.find('>', begin) - begin), "action"), encoded(all));
}

Got Served::json(const std::string& verb, const std::string& body, const std::string& key) {
    Headers headers{{"Content-Type", "application/json"}};
    if (!key.empty()) headers.emplace_back("Idempotency-Key", key);
    return post("/v1/" + verb, body, headers);
}

std::map<std::string, std::string> hidden_fields(const std::string& page, const std::string& form) {
    std::map<std::string, std::string> fields;
    const auto id = page.find(" id=\"" + form + "\"");
    if (id == std::string::npos) return fields;
    const auto end = page.find("</form>", id);
    for (auto at = page.find("<input type=\"hidden\"", id); at < end;
         at = page.find("<input type=\"hidden\"", at + 1)) {
        const std::string tag = page.substr(at, page.find('>', at) - at);
        fields[attribute(tag, "name")] = attribute(tag, "value");
    }
    return fields;
}

std::string encoded(const std::map<std::string, std::string>& fields) {
    std::string body;
    for (const auto& [name, value] : fields)
        body += (body.empty() ? "" : "&") + encoded_text(name) + "=" + encoded_text(value);
    return body;
}

} // namespace lotwort::test

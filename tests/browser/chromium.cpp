#include "chromium.hpp"
#include <array>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <poll.h>
#include <stdexcept>
#include <sys/wait.h>
#include <unistd.h>

namespace lotwort::test {

namespace {

constexpr int patience_ms = 30'000; // for one answer; a loaded machine starts a browser slowly

// In the child: the browser reads its orders from descriptor 3 and answers on 4.
[[noreturn]] void become_browser(const std::string& program, const std::string& folder, int orders, int answers) {
    // out of the way first: either may be 3 or 4 itself
    const int safe_orders = fcntl(orders, F_DUPFD, 10), safe_answers = fcntl(answers, F_DUPFD, 10);
    dup2(safe_orders, 3);
    dup2(safe_answers, 4);
    const int nowhere = ::open("/dev/null", O_RDWR);
    for (const int standard : {0, 1, 2}) dup2(nowhere, standard);
    const std::string profile = "--user-data-dir=" + folder + "/profile";
    std::vector<std::string> words{program,
                                   "--headless",
                                   "--no-sandbox",
                                   "--disable-gpu",
                                   "--disable-quic",
                                   "--no-first-run",
                                   "--disable-background-networking",
                                   "--disable-component-update",
                                   "--disable-sync",
                                   "--disable-dev-shm-usage",
                                   "--remote-debugging-pipe",
                                   profile,
                                   "about:blank"};
    std::vector<char*> arguments;
    for (auto& word : words) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    setsid(); // its helpers end with its group
    execv(program.c_str(), arguments.data());
    _exit(127);
}

std::string decoded(const std::string& base64) {
    std::array<int, 256> value{};
    value.fill(-1);
    const std::string letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (std::size_t i = 0; i < letters.size(); ++i)
        value[static_cast<unsigned char>(letters[i])] = static_cast<int>(i);
    std::string bytes;
    unsigned bits = 0;
    int held = 0;
    for (const char c : base64) {
        const int six = value[static_cast<unsigned char>(c)];
        if (six < 0) break;
        bits = (bits << 6U) | static_cast<unsigned>(six);
        held += 6;
        if (held < 8) continue;
        held -= 8;
        bytes += static_cast<char>((bits >> static_cast<unsigned>(held)) & 0xFFU);
    }
    return bytes;
}

} // namespace

std::optional<std::string> Chromium::program() {
    if (const char* named = std::getenv("LOTWORT_CHROMIUM"); named != nullptr && *named != '\0') return named;
    const std::string usual = "/usr/bin/chromium";
    if (access(usual.c_str(), X_OK) == 0) return usual;
    return std::nullopt;
}

Chromium::Chromium(const std::string& folder) {
    const auto browser = program();
    if (!browser) throw std::runtime_error("there is no Chromium");
    std::array<int, 2> orders{}, answers{};
    if (pipe2(orders.data(), O_CLOEXEC) != 0 || pipe2(answers.data(), O_CLOEXEC) != 0)
        throw std::runtime_error("no pipe");
    std::signal(SIGPIPE, SIG_IGN);
    pid_ = fork();
    if (pid_ == 0) become_browser(*browser, folder, orders[0], answers[1]);
    close(orders[0]);
    close(answers[1]);
    to_ = orders[1];
    from_ = answers[0];
    const Json target = call("Target.createTarget", {{"url", "about:blank"}});
    session_ = call("Target.attachToTarget", {{"targetId", target.at("targetId")}, {"flatten", true}}).at("sessionId");
    for (const char* domain : {"Page", "Runtime", "Log", "Network"})
        call(std::string(domain) + ".enable", Json::object());
}

Chromium::~Chromium() {
    close(to_);
    close(from_);
    if (pid_ > 0) {
        kill(-pid_, SIGKILL);
        kill(pid_, SIGKILL);
        waitpid(pid_, nullptr, 0);
    }
}

void Chromium::note(const Json& event) {
    const std::string method = event.value("method", "");
    const Json& about = event.contains("params") ? event.at("params") : event;
    if (method == "Page.loadEventFired") loaded_ = true;
    if (method == "Runtime.consoleAPICalled" || method == "Runtime.exceptionThrown" || method == "Log.entryAdded")
        complaints_.push_back(about.dump());
    if (method == "Network.requestWillBeSent") {
        const std::string url = about.at("request").at("url");
        if (url != opened_) requests_.push_back(url);
    }
}

Json Chromium::read_message() {
    for (;;) {
        if (const auto end = unread_.find('\0'); end != std::string::npos) {
            Json message = Json::parse(unread_.substr(0, end));
            unread_.erase(0, end + 1);
            return message;
        }
        pollfd waiting{from_, POLLIN, 0};
        if (poll(&waiting, 1, patience_ms) <= 0) throw std::runtime_error("Chromium does not answer");
        std::array<char, 65536> buffer{};
        const ssize_t size = read(from_, buffer.data(), buffer.size());
        if (size <= 0) throw std::runtime_error("Chromium has gone");
        unread_.append(buffer.data(), static_cast<std::size_t>(size));
    }
}

Json Chromium::call(const std::string& method, const Json& parameters) {
    Json order{{"id", ++last_id_}, {"method", method}, {"params", parameters}};
    if (!session_.empty()) order["sessionId"] = session_;
    const std::string text = order.dump() + '\0';
    for (std::size_t sent = 0; sent < text.size();) {
        const ssize_t size = write(to_, text.data() + sent, text.size() - sent);
        if (size < 0) throw std::runtime_error("Chromium takes no orders");
        sent += static_cast<std::size_t>(size);
    }
    for (;;) {
        const Json message = read_message();
        if (message.value("id", 0) != last_id_) {
            note(message);
            continue;
        }
        if (message.contains("error")) throw std::runtime_error(method + ": " + message.at("error").dump());
        return message.at("result");
    }
}

void Chromium::open(const std::string& path) {
    opened_ = path.starts_with("http://") ? path : "file://" + path;
    loaded_ = false;
    call("Page.navigate", {{"url", opened_}});
    while (!loaded_) note(read_message());
}

void Chromium::follow(const std::string& expression) {
    loaded_ = false;
    (void)call("Runtime.evaluate", {{"expression", expression}});
    while (!loaded_) note(read_message());
}

void Chromium::press(const std::string& key) {
    const int code = key == "Tab" ? 9 : 13;
    Json event{{"type", "keyDown"}, {"key", key}, {"code", key}, {"windowsVirtualKeyCode", code}};
    if (key == "Enter") event["text"] = "\r";
    (void)call("Input.dispatchKeyEvent", event);
    event["type"] = "keyUp";
    event.erase("text");
    (void)call("Input.dispatchKeyEvent", event);
}

void Chromium::type(const std::string& text) {
    (void)call("Input.insertText", {{"text", text}});
}

void Chromium::show(int width, const std::string& medium, const std::string& scheme) {
    call("Emulation.setDeviceMetricsOverride",
         {{"width", width}, {"height", width < 600 ? 844 : 900}, {"deviceScaleFactor", 1}, {"mobile", width < 600}});
    call("Emulation.setEmulatedMedia",
         {{"media", medium}, {"features", {{{"name", "prefers-color-scheme"}, {"value", scheme}}}}});
}

Json Chromium::evaluate(const std::string& expression) {
    const Json answer = call("Runtime.evaluate", {{"expression", expression}, {"returnByValue", true}});
    if (answer.contains("exceptionDetails")) throw std::runtime_error(answer.at("exceptionDetails").dump());
    return answer.at("result").at("value");
}

std::string Chromium::screenshot() {
    const Json answer = call("Page.captureScreenshot", {{"format", "png"}, {"captureBeyondViewport", true}});
    return decoded(answer.at("data"));
}

std::string Chromium::printed() {
    const Json answer =
        call("Page.printToPDF", {{"preferCSSPageSize", true}, {"paperWidth", 8.27}, {"paperHeight", 11.69}});
    return decoded(answer.at("data"));
}

} // namespace lotwort::test

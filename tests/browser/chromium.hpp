// Headless Chromium, started by the test and spoken to through a pipe: no port, no network.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::test {

using Json = nlohmann::json;

class Chromium {
public:
    // Where the browser is: LOTWORT_CHROMIUM, else /usr/bin/chromium; none where neither is there.
    [[nodiscard]] static std::optional<std::string> program();

    // Starts it with a profile of its own under `folder`. Throws std::runtime_error where it does not answer within
    // half a minute.
    explicit Chromium(const std::string& folder);
    ~Chromium();
    Chromium(const Chromium&) = delete;
    Chromium& operator=(const Chromium&) = delete;

    // Opens a file, or an address, and waits until it is loaded.
    void open(const std::string& path);
    // Does what leads to another page, and waits until that is loaded.
    void follow(const std::string& expression);
    // Keys alone: Tab or Enter; letters into what has the focus.
    void press(const std::string& key);
    void type(const std::string& text);
    // The window's width in CSS pixels; "print" or "screen"; "dark" or "light".
    void show(int width, const std::string& medium, const std::string& scheme);
    // The value of a JavaScript expression.
    [[nodiscard]] Json evaluate(const std::string& expression);
    // A picture of the whole page, PNG.
    [[nodiscard]] std::string screenshot();
    // The printed page, PDF.
    [[nodiscard]] std::string printed();

    // What the console, the log and the page's own faults said since the browser started.
    [[nodiscard]] const std::vector<std::string>& complaints() const { return complaints_; }
    // Addresses that pages asked for, the files opened left out.
    [[nodiscard]] const std::vector<std::string>& requests() const { return requests_; }

private:
    Json call(const std::string& method, const Json& parameters);
    Json read_message();
    void note(const Json& event);

    int pid_ = -1, to_ = -1, from_ = -1, last_id_ = 0;
    bool loaded_ = false;
    std::string unread_, session_, opened_;
    std::vector<std::string> complaints_, requests_;
};

} // namespace lotwort::test

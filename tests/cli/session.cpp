#include "session.hpp"
#include "folder.hpp"
#include "golden.hpp"
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sstream>
#include <stdexcept>
#include <sys/wait.h>

namespace lotwort::test {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view fence = "```session";

std::string environment() {
    const std::string program_folder = fs::path(LOTWORT_PROGRAM).parent_path().string();
    return "unset XDG_DATA_HOME LOTWORT_BY; export HOME=\"$PWD\" LC_ALL=C LOTWORT_TODAY=2026-03-10 "
           "LOTWORT_LEDGER=brewery.lotwort PATH=\"" +
           program_folder + ":$PATH\"; ";
}

} // namespace

std::vector<Session> sessions_of(const std::string& page) {
    return sessions_in("docs/commands/" + page + ".md");
}

std::vector<Session> sessions_in(const std::string& path) {
    std::istringstream in(project_file(path));
    std::vector<Session> sessions;
    bool inside = false;
    for (std::string line; std::getline(in, line);) {
        if (!inside && line.starts_with(fence)) {
            const std::string rest = line.substr(fence.size());
            sessions.push_back({rest.starts_with(" after ") ? rest.substr(7) : "", {}});
            inside = true;
        } else if (line == "```") {
            inside = false;
        } else if (inside && line.starts_with("$ ")) {
            std::string command = line.substr(2);
            while (command.ends_with('\\') && std::getline(in, line)) command += "\n" + line;
            sessions.back().steps.push_back({command, ""});
        } else if (inside) {
            if (sessions.back().steps.empty()) throw std::runtime_error(path + ": a session begins with its output");
            sessions.back().steps.back().prints += line + "\n";
        }
    }
    return sessions;
}

Workplace::Workplace() {
    std::string name = (quick_folder() / "lotwort-test-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder: " + name);
    folder_ = name;
}

Workplace::~Workplace() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
}

Workplace::Result Workplace::run(const std::string& line) const {
    const std::string file = folder_ + "/.command";
    std::FILE* script = std::fopen(file.c_str(), "w");
    if (script == nullptr) throw std::runtime_error("cannot write " + file);
    std::fprintf(script, "%s\n%s\n", environment().c_str(), line.c_str());
    std::fclose(script);
    std::FILE* pipe = popen(("cd '" + folder_ + "' && sh ./.command").c_str(), "r");
    if (pipe == nullptr) throw std::runtime_error("cannot run sh");
    Result result;
    std::array<char, 4096> buffer{};
    for (std::size_t got = 0; (got = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        result.out.append(buffer.data(), got);
    const int status = pclose(pipe);
    result.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return result;
}

void Workplace::prepare(const std::string& page) const {
    for (const Session& session : sessions_of(page)) {
        if (session.after == page) throw std::runtime_error(page + ": a session that follows itself; leave `after` out");
        if (!session.after.empty()) prepare(session.after);
        for (const Step& step : session.steps) (void)run("{ " + step.command + "\n} 2>&1");
    }
}

} // namespace lotwort::test

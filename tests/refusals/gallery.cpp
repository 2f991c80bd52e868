#include "gallery.hpp"
#include "golden.hpp"
#include <algorithm>
#include <cctype>
#include <filesystem>
#include <stdexcept>
#include <string_view>

namespace lotwort::test {

namespace {

namespace fs = std::filesystem;

class TranscriptReader {
public:
    TranscriptReader(const std::string& name, std::string_view text) : text_(text) { transcript_.name = name; }

    Transcript read() {
        for (; next();) {
            if (line_.empty() || (line_.starts_with('#') && !line_.starts_with("##"))) continue;
            if (line_ == "given")
                read_given();
            else if (line_.starts_with("file "))
                read_file();
            else if (line_.starts_with("## "))
                read_refusal();
            else
                fail("neither `given`, `file NAME`, `## TITLE` nor a remark");
        }
        return transcript_;
    }

private:
    bool next() {
        if (text_.empty()) return false;
        const auto end = std::min(text_.find('\n'), text_.size());
        line_ = text_.substr(0, end);
        text_.remove_prefix(std::min(end + 1, text_.size()));
        ++number_;
        return true;
    }
    bool next_of_block() { return next() && !line_.empty(); }

    [[noreturn]] void fail(const std::string& what) const {
        throw std::runtime_error(transcript_.name + ":" + std::to_string(number_) + ": " + what);
    }

    std::string rest_after(std::string_view mark) const {
        if (!line_.starts_with(mark)) fail("a line that begins with `" + std::string(mark) + "` is due");
        return std::string(line_.substr(mark.size()));
    }

    void read_given() {
        while (next_of_block()) transcript_.given.push_back({rest_after("$ "), "", ""});
    }

    void read_file() {
        Given given{"", rest_after("file "), ""};
        while (next_of_block()) given.text += std::string(line_) + "\n";
        transcript_.given.push_back(std::move(given));
    }

    void read_fill(Refusal& refusal) {
        const std::string both = rest_after("fill ");
        const auto with = both.find(" with ");
        if (with == std::string::npos) fail("`fill PLACEHOLDER with WORD` is due");
        refusal.fills[both.substr(0, with)] = both.substr(with + 6);
    }

    void read_refusal() {
        Refusal refusal;
        refusal.title = rest_after("## ");
        refusal.line = number_;
        while (next_of_block() && !line_.starts_with("$ ")) {
            if (line_ == "as nobody")
                refusal.as_nobody = true;
            else if (line_.starts_with("room for "))
                refusal.disk = "FULL_DISK_ROOM=" + std::to_string(std::stol(rest_after("room for ")));
            else if (line_.starts_with("reading "))
                refusal.disk = "BAD_DISK_READ=" + std::to_string(std::stol(rest_after("reading ")));
            else if (line_ == "flushes of folders fail")
                refusal.disk = "BAD_DISK_FLUSH=1";
            else if (line_.starts_with("fill "))
                read_fill(refusal);
            else if (line_.starts_with("hint not typed: "))
                refusal.hint_untyped = rest_after("hint not typed: ");
            else
                fail("`$ COMMAND` is due");
        }
        refusal.command = rest_after("$ ");
        if (!next_of_block()) fail("`exit N` is due");
        refusal.status = std::stoi(rest_after("exit "));
        while (next_of_block()) {
            if (line_.starts_with("prints "))
                refusal.prints.push_back(rest_after("prints "));
            else
                refusal.error += std::string(line_) + "\n";
        }
        transcript_.refusals.push_back(std::move(refusal));
    }

    Transcript transcript_;
    std::string_view text_;
    std::string_view line_;
    std::size_t number_ = 0;
};

} // namespace

Transcript parse_transcript(const std::string& name, const std::string& text) {
    return TranscriptReader(name, text).read();
}

std::vector<Transcript> gallery() {
    const std::string folder = "tests/refusals";
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / folder))
        if (std::isdigit(static_cast<unsigned char>(entry.path().filename().string()[0])) != 0)
            names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    std::vector<Transcript> transcripts;
    for (const auto& name : names) transcripts.push_back(parse_transcript(name, project_file(folder + "/" + name)));
    return transcripts;
}

} // namespace lotwort::test

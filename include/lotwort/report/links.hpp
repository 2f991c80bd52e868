// Pages that are written together link to each other: a lot's code is a link wherever it stands.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort::report {

// The files of pages that stand in one folder.
struct PageFiles {
    std::map<std::string, std::string, std::less<>> brews, lots, plans; // by code
    std::map<std::string, std::string, std::less<>> recipes, items;     // by name, in columns that are of them
    std::vector<std::pair<std::string, std::string>> menu;              // words and file, at the top of each page

    // A name for a file that every file system takes, and no other page has: "lot-PM_03.html". Letters of one case
    // alone do not make two of them.
    [[nodiscard]] std::string named(std::string_view kind, std::string_view code);

private:
    std::set<std::string> taken_;
};

// While it lives, pages that this thread makes link to these files, as with a locale.
class Linked {
public:
    explicit Linked(const PageFiles& files);
    explicit Linked(const PageFiles&&) = delete;
    ~Linked();
    Linked(const Linked&) = delete;
    Linked& operator=(const Linked&) = delete;

private:
    const PageFiles* before_;
};

} // namespace lotwort::report

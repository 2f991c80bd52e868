#include "shared.hpp"
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/store/new_file.hpp>

namespace lotwort::verbs {

namespace fs = std::filesystem;

namespace {

// What a page sent names no file of this machine; it holds what a file would.
void demand_files(const Call& call, const std::string& path) {
    if (!call.surroundings.opens_files)
        throw Error(ErrorKind::refused, fmt::format("`{}` names a file, and pages open none", path),
                    "send what the file holds, or type the command at the machine itself");
}

} // namespace

std::string read_file(const Call& call, const std::string& path) {
    if (path == "-" && call.surroundings.sent) return *call.surroundings.sent;
    demand_files(call, path);
    std::ifstream file;
    if (path != "-") {
        std::error_code ignored;
        if (fs::is_directory(path, ignored))
            throw Error(ErrorKind::refused, fmt::format("{} is a folder, not a file", path), "name a file in it");
        file.open(path, std::ios::binary);
        if (!file)
            throw Error(ErrorKind::refused, fmt::format("{} cannot be read: {}", path, std::strerror(errno)),
                        "look at the name, or at the folder you are in");
    }
    std::istream& in = path == "-" ? std::cin : file;
    std::string text, piece(1 << 16, '\0');
    while (in.read(piece.data(), static_cast<std::streamsize>(piece.size())) || in.gcount() > 0) {
        text.append(piece, 0, static_cast<std::size_t>(in.gcount()));
        if (text.size() > largest_exchange_file)
            throw Error(ErrorKind::refused,
                        fmt::format("{} has more than {} MB", path == "-" ? "standard input" : path,
                                    largest_exchange_file / 1'000'000),
                        "no brewery fills that: look at what it is");
    }
    if (in.bad())
        throw Error(ErrorKind::refused, fmt::format("{} cannot be read to its end", path),
                    "look at the disk, or copy the file and try again");
    return text;
}

namespace {

void put(const std::string& path, const std::string& text, const std::string& ledger, bool replaces) {
    NewFile file(
        path,
        {.ledger = ledger, .over = Over::plain_file, .replaces = replaces, .instead = "add --force to replace it"});
    file.append(text);
    file.put();
}

void make_folder(const std::string& folder) {
    std::error_code fault;
    if (fs::is_symlink(folder, fault))
        throw Error(ErrorKind::refused, fmt::format("{} is a link, and nothing is written through a link", folder),
                    "name the folder itself");
    if (fs::is_directory(folder, fault)) return;
    if (fs::exists(folder, fault))
        throw Error(ErrorKind::refused, fmt::format("{} is a file, not a folder", folder),
                    "name another folder, such as: lotwort report --all --out pages");
    if (!fs::create_directory(folder, fault))
        throw Error(ErrorKind::refused, fmt::format("the folder {} cannot be made: {}", folder, fault.message()),
                    "look at the name, or at the folder that it is to be in");
}

} // namespace

std::string name_of_file(const Call& call, const std::string& path) {
    return path == "-" && call.surroundings.sent ? "a page's form" : path;
}

void write_file(Call& call, const std::string& path, const std::string& text) {
    demand_files(call, path);
    call.settle();
    const bool replaces = call.args.has("force");
    call.demand_all_used();
    put(path, text, call.ledger_path(), replaces);
}

void write_files(Call& call, const std::string& folder, const std::vector<NamedText>& files) {
    demand_files(call, folder);
    call.settle();
    const bool replaces = call.args.has("force");
    call.demand_all_used();
    make_folder(folder);
    if (std::error_code ignored; !replaces)
        for (const NamedText& file : files)
            if (fs::exists(fs::path(folder) / file.file, ignored))
                throw Error(ErrorKind::refused,
                            fmt::format("{} exists already", (fs::path(folder) / file.file).string()),
                            "name another folder, or add --force to replace what is there");
    for (const NamedText& file : files)
        put((fs::path(folder) / file.file).string(), file.text, call.ledger_path(), replaces);
}

} // namespace lotwort::verbs

#include "shared.hpp"
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>
#include <lotwort/store/new_file.hpp>

namespace lotwort::verbs {

namespace fs = std::filesystem;

namespace {

// Hands over a file's bytes, or standard input's for `-`, piece by piece.
void read_pieces(const std::string& path, const TakePiece& take) {
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
    std::string piece(1 << 16, '\0');
    while (in.read(piece.data(), static_cast<std::streamsize>(piece.size())) || in.gcount() > 0)
        take(std::string_view(piece).substr(0, static_cast<std::size_t>(in.gcount())));
    if (in.bad())
        throw Error(ErrorKind::refused, fmt::format("{} cannot be read to its end", path),
                    "look at the disk, or copy the file and try again");
}

} // namespace

std::string read_file(const std::string& path) {
    std::string text;
    read_pieces(path, [&](std::string_view piece) { text += piece; });
    return text;
}

LongText::LongText(const std::string& path) {
    read_pieces(path, [&](std::string_view piece) {
        if (!laid_aside_) held_ += piece;
        if (!laid_aside_ && held_.size() <= most_held) return;
        if (laid_aside_) return laid_aside_->append(piece);
        laid_aside_ = std::make_unique<TemporaryFile>();
        laid_aside_->append(held_);
        held_ = {};
    });
    view_ = laid_aside_ ? laid_aside_->map() : held_;
}

void write_file(const Call& call, const std::string& path, const std::function<void(const TakePiece&)>& fill) {
    const bool replaces = call.args.has("force");
    call.demand_all_used();
    NewFile file(path, {.ledger = call.ledger_path(),
                        .over = Over::plain_file,
                        .replaces = replaces,
                        .instead = "add --force to replace it"});
    fill([&](std::string_view piece) { file.append(piece); });
    file.put();
}

void write_file(Call& call, const std::string& path, const std::string& text) {
    call.settle();
    write_file(call, path, [&](const TakePiece& take) { take(text); });
}

} // namespace lotwort::verbs

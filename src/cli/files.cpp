#include "shared.hpp"
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>

namespace lotwort::cli {

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

void write_file(const std::string& path, const std::function<void(const TakePiece&)>& fill, bool replace) {
    std::error_code fault;
    if (!replace && fs::exists(path, fault))
        throw Error(ErrorKind::refused, fmt::format("{} exists already", path),
                    "name another file, or add --force to replace it");
    const std::string half = path + ".part";
    const auto give_up = [&](const std::string& why) {
        throw Error(ErrorKind::refused, fmt::format("{} cannot be written: {}", path, why),
                    "look at who may write there, and whether the disk is full");
    };
    std::ofstream out(half, std::ios::binary | std::ios::trunc);
    if (!out) give_up(std::strerror(errno));
    try {
        fill([&](std::string_view piece) {
            if (!out.write(piece.data(), static_cast<std::streamsize>(piece.size()))) give_up(std::strerror(errno));
        });
        out.close();
        if (!out) give_up(std::strerror(errno));
        fs::rename(half, path, fault);
        if (fault) give_up(fault.message());
    } catch (...) {
        fs::remove(half, fault);
        throw;
    }
}

void write_file(const std::string& path, const std::string& text, bool replace) {
    write_file(
        path, [&](const TakePiece& take) { take(text); }, replace);
}

} // namespace lotwort::cli

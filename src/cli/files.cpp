#include "shared.hpp"
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>
#include <iterator>

namespace lotwort::cli {

namespace fs = std::filesystem;

std::string read_file(const std::string& path) {
    if (path == "-") return {std::istreambuf_iterator<char>(std::cin), {}};
    std::error_code ignored;
    if (fs::is_directory(path, ignored))
        throw Error(ErrorKind::refused, fmt::format("{} is a folder, not a file", path), "name a file in it");
    std::ifstream in(path, std::ios::binary);
    if (!in)
        throw Error(ErrorKind::refused, fmt::format("{} cannot be read: {}", path, std::strerror(errno)),
                    "look at the name, or at the folder you are in");
    std::string text;
    const auto size = fs::file_size(path, ignored); // of a pipe there is none
    if (!ignored) text.reserve(size + 1);
    constexpr std::size_t piece = 1 << 16;
    for (std::size_t read = piece; read == piece;) {
        const std::size_t before = text.size();
        text.resize(before + piece);
        in.read(text.data() + before, piece);
        read = static_cast<std::size_t>(in.gcount());
        text.resize(before + read);
    }
    if (in.bad())
        throw Error(ErrorKind::refused, fmt::format("{} cannot be read to its end", path),
                    "look at the disk, or copy the file and try again");
    return text;
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

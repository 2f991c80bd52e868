#include <fmt/format.h>
#include <lotwort/core/fault_lines.hpp>

namespace lotwort {

void FaultLines::append(const FaultLines& more) {
    for (const std::string& line : more.first_) add([&] { return line; });
    count_others(more.count_ - more.first_.size());
}

std::string listed(const FaultLines& lines) {
    std::string text;
    for (const std::string& line : lines.first()) text += "\n" + line;
    const std::size_t others = lines.count() - lines.first().size();
    return others == 0 ? text : text + fmt::format("\nand {} more", others);
}

} // namespace lotwort

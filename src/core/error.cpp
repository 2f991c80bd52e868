#include <fmt/format.h>
#include <lotwort/core/error.hpp>

namespace lotwort {

void report_bug(std::string_view condition, std::source_location where) {
    throw Bug(fmt::format("{}:{}: `{}` does not hold", where.file_name(), where.line(), condition));
}

} // namespace lotwort

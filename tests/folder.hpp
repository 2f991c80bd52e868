// Where folders of tests are made.
#pragma once

#include <filesystem>

namespace lotwort::test {

// In memory where there is such a place: thousands of entries are flushed, which a disk makes dear.
[[nodiscard]] inline std::filesystem::path quick_folder() {
    const std::filesystem::path memory = "/dev/shm";
    return std::filesystem::is_directory(memory) ? memory : std::filesystem::temp_directory_path();
}

} // namespace lotwort::test

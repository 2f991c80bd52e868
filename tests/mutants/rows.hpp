// Mutants: small changes of the sources that a brewer would feel. tests/mutants/ROOM.txt holds them as rows; a row's
// text stands in its file once, whatever the line breaks.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lotwort::mutants {

struct Row {
    std::string room{};
    int number = 0;      // in its room, from 1: what the switch is set to
    std::string file{};  // below src
    std::string was{};   // a whole expression, or a statement with its semicolon or brace
    std::string now{};   // what it becomes
    std::string why{};   // what it would mean to a brewer
    std::string dies{};  // the test case of the room's own tests that notices
    std::string equal{}; // or why nothing could notice; neither: it is alive
};

// The rows of one room's file; throws std::runtime_error naming the line that is none.
[[nodiscard]] std::vector<Row> read_rows(const std::string& room, std::string_view text);

struct Place {
    std::size_t from = 0;
    std::size_t to = 0;
};

// Where the row's text stands in its source. Throws std::runtime_error where it does not, or stands twice.
[[nodiscard]] Place find(const Row& row, std::string_view source);

// The source with each of its rows behind the switch; `name` is where messages point to.
[[nodiscard]] std::string switched(std::string_view source, const std::string& name, const std::vector<Row>& rows);

} // namespace lotwort::mutants

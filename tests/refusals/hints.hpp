// What a refusal's hint says to type, as the command lines that a reader would then type.
//
//     did you mean `pale ale malt`?                  the word that was refused, replaced
//     write 6.5L or 6.5galUS; write one of: a, b     the same; what stands behind "such as" is an example and no offer
//     add --reason "spilled"                         the command, with the option behind it
//     leave --moisture out                           the command without it
//     write: lotwort receive ITEM AMOUNT             the command itself, up to the comma or the prose behind it
#pragma once

#include "gallery.hpp"
#include <optional>
#include <string>
#include <vector>

namespace lotwort::test {

struct TypedHint {
    std::string line;                 // for the shell
    std::optional<std::string> value; // a figure or name offered in place of what was refused: 6.5L
    std::string refused;              // what it stands for: the first text between backticks
    bool is_one_of = false;           // of several names, of which one is what was meant
};

// Nothing is replaced that does not stand in the command: a word of a file is mended in the file.
[[nodiscard]] std::vector<TypedHint> typed_hints(const std::string& command, const std::string& error);

// Words in capitals that stand for something to be filled in: LOT=AMOUNT, NAME.
[[nodiscard]] std::vector<std::string> placeholders_in(const std::string& line);

} // namespace lotwort::test

// A page of docs/commands as the blocks that help and manual are written of.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lotwort::cli {

struct Block {
    enum class Kind { heading, usage, item, paragraph, code };
    Kind kind;
    std::vector<std::string_view>
        lines;          // without the marks: # of a heading, - of an item, a fence, four blanks of code
    bool apart = false; // an empty line stands before it
};

// Of the page's own title on. Empty: no such page. The blocks look into the embedded text.
[[nodiscard]] std::vector<Block> blocks_of_page(std::string_view name);

} // namespace lotwort::cli

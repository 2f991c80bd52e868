// A file in the making. Everything that the program writes, but the ledger in use itself, is written through one:
// beside its place, flushed, then moved there whole. So no output is ever half over another file, goes through a link,
// or takes the place of a ledger or of a ledger's journal.
#pragma once

#include <lotwort/core/error.hpp>
#include <string>
#include <string_view>

namespace lotwort {

// What may stand where a new file goes.
enum class Over {
    nothing,
    plain_file, // but no ledger
    ledger,     // an earlier backup: not the ledger in use, and no other kind of file
};

struct Placing {
    std::string ledger = {}; // in use; empty where there is none
    Over over = Over::nothing;
    bool replaces = false;                // such a file that is there
    std::string_view instead = {};        // what to do to have it replaced: "add --force to replace it"
    ErrorKind fault = ErrorKind::refused; // the kind of every Error
};

class NewFile {
public:
    // Error, before anything is made, where `path` is the ledger in use, a ledger's journal, a link, a folder or no
    // plain file, or may not be replaced; and where nothing can be written beside it.
    NewFile(std::string path, Placing how);
    ~NewFile(); // what was not put in its place is gone
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;

    void append(std::string_view bytes);
    // The name of the file until it is put in its place: for a database, which writes to it itself.
    [[nodiscard]] const std::string& made() const { return made_; }
    // Flushed and moved into its place, in one step. Looks once more at what stands there.
    void put();
    // The file that this program put in its place last; empty where it has put none.
    [[nodiscard]] static const std::string& last_put() noexcept;

    // Removes what is unfinished, in a signal's handler too.
    static void remove_unfinished() noexcept;

private:
    void create();
    void flush();
    void take_place();
    [[noreturn]] void give_up(int fault) const;

    std::string path_;
    Placing how_;
    std::string made_;
    int file_ = -1;
};

} // namespace lotwort

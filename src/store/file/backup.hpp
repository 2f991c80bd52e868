// A copy of a ledger while it is in use.
#pragma once

#include "sqlite.hpp"
#include <lotwort/store/ledger.hpp>
#include <string>

namespace lotwort::store {

// Copies every page into an empty database; waits for writers.
void copy_pages(Connection& from, Connection& to);

// Copies the ledger to `path`: into a file beside it, proven sound, flushed, then moved into place. An earlier
// backup there is replaced if it may be; Error(ledger) where it may not, where another kind of file stands there, or
// the ledger itself.
void write_backup(Connection& from, const std::string& ledger_file, const std::string& path, Ledger::Replace replace);

} // namespace lotwort::store

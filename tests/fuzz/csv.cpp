// Tables: every row has the header's cells.
#include "fuzz_target.hpp"
#include <lotwort/exchange/csv.hpp>

using namespace lotwort;
using namespace lotwort::test;

FUZZ_TARGET(csv) {
    may_refuse([&] {
        const CsvTable table = read_csv(as_text(data, size), "fuzz");
        std::size_t line = 0;
        for (const CsvRow& row : table.rows) {
            must(row.cells.size() == table.header.size());
            must(row.line > line);
            line = row.line;
        }
    });
    return 0;
}

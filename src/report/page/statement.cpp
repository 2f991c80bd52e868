// The books of a period as a page.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include "statement_tables.hpp"

namespace lotwort::report {

std::string statement_page(const Statement& statement) {
    std::string remarks;
    for (const std::string& remark : statement_remarks(statement)) remarks += html::of_text("li", remark);
    const std::string beer =
        statement.beer.empty() ? "" : html::table(as_headings(statement_beer(statement)), "Beer by month");
    const std::string money =
        html::table(as_headings(statement_kinds(statement, true), statement.currency), "Money by kind, at cost");
    const std::string amounts = html::table(as_headings(statement_kinds(statement, false)), "Amounts by kind");
    return html::whole(
        {"The books", statement_heading(statement),
         (statement.books.items.empty()
              ? html::of_text("p", "Nothing was in stock, came or went.")
              : html::of_text("p", statement_lead(statement), "class=\"lead\"") + money + amounts +
                    html::section("Items", html::table(as_headings(statement_items(statement), statement.currency),
                                                       "Item by item"))) +
             html::section("Beer", beer) +
             (remarks.empty() ? "" : html::section("Worth knowing", html::element("ul", remarks)))});
}

} // namespace lotwort::report

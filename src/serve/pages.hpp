// The pages that matter on a day in the brewery, each from the ledger as it is.
#pragma once

#include "page.hpp"
#include <lotwort/desk/desk.hpp>

namespace lotwort::serve {

[[nodiscard]] Page today_page(const Desk& desk, const Visit& visit);

[[nodiscard]] Page brew_days_page(const Desk& desk, const Visit& visit);
// Of an open plan or a brew. Error(refused) where there is neither of that code, as of all below.
[[nodiscard]] Page brew_day_page(const Desk& desk, const Visit& visit, const std::string& code);

// The stock by item, with what was delivered and counted to book; an item with its lots; a lot.
[[nodiscard]] Page stock_page(const Desk& desk, const Visit& visit);
[[nodiscard]] Page item_page(const Desk& desk, const Visit& visit, const std::string& item);
[[nodiscard]] Page receive_page(const Desk& desk, const Visit& visit);
[[nodiscard]] Page count_page(const Desk& desk, const Visit& visit);

[[nodiscard]] Page lot_page(const Desk& desk, const Visit& visit, const std::string& code);

[[nodiscard]] Page plan_page(const Desk& desk, const Visit& visit, const std::string& code);
[[nodiscard]] Page plans_page(const Desk& desk, const Visit& visit);
[[nodiscard]] Page brews_page(const Desk& desk, const Visit& visit);
[[nodiscard]] Page recipes_page(const Desk& desk, const Visit& visit);
// A form with the forecast beside it.
[[nodiscard]] Page recipe_page(const Desk& desk, const Visit& visit, const std::string& name);
[[nodiscard]] Page new_recipe_page(const Desk& desk, const Visit& visit);
[[nodiscard]] Page history_page(const Desk& desk, const Visit& visit);

// As the scale shows it: "4.2" and "kg".
[[nodiscard]] std::pair<std::string, std::string> scale_of(Amount amount);

// What the button of a command says it leads to.
[[nodiscard]] std::string_view label_of_command(const std::string& command);
// Where a command that is due is done on a page: "lotwort brew P1 --sheet" is /brew-day/P1.
[[nodiscard]] std::string page_of_command(const std::string& command);
// What a report names as a command at the end of a line is a link instead; one that leads to the page itself is left
// out.
[[nodiscard]] std::string with_commands_linked(std::string_view body, std::string_view here);

} // namespace lotwort::serve

// Every verb, each defined in NAME.cpp; table.cpp puts them in order.
#pragma once

#include <lotwort/verbs/call.hpp>

namespace lotwort::verbs {

extern const Command init_command;
extern const Command item_command;
extern const Command receive_command;
extern const Command statement_command;
extern const Command stock_command;
extern const Command offer_command;
extern const Command buy_command;
extern const Command order_command;
extern const Command lot_command;
extern const Command count_command;
extern const Command discard_command;
extern const Command trace_command;
extern const Command history_command;
extern const Command reverse_command;
extern const Command verify_command;
extern const Command backup_command;
extern const Command export_command;
extern const Command import_command;
extern const Command recipe_command;
extern const Command tank_command;
extern const Command plan_command;
extern const Command substitute_command;
extern const Command brew_command;
extern const Command package_command;
extern const Command measure_command;
extern const Command reconcile_command;
extern const Command explain_command;
extern const Command trend_command;
extern const Command report_command;
extern const Command convert_command;
extern const Command brewhouse_command;
extern const Command serve_command;

} // namespace lotwort::verbs

// What a file must hold beyond its single records, whose rules stand beside them (stock/rules.hpp, brew/rules.hpp).
// What one record says of another is looked at in references.cpp, once the ledger is at hand.
#pragma once

#include "exchange_fields.hpp"
#include <lotwort/brew/rules.hpp>

namespace lotwort {

void check_rules(const ExchangeDocument& document, const TellBroken& tell);

} // namespace lotwort

// Whom the packages of a run went to, as JSON: the list `sent` of the object that is open.
#pragma once

#include <lotwort/brew/package.hpp>
#include <lotwort/exchange/json_writer.hpp>

namespace lotwort::report {

void sent_json(JsonWriter& w, const Package& package);

} // namespace lotwort::report

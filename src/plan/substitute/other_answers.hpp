// Answers without a stand-in: less of it, as it is, another day, or bought.
#pragma once

#include "standing.hpp"

namespace lotwort::plan {

// None where the kind has no answer; `why` says why.
[[nodiscard]] std::optional<SubstituteAnswer> smaller_answer(const SubstituteRequest& request, const Standing& standing,
                                                             const std::map<std::string, Effect>& meant,
                                                             std::string& why);
[[nodiscard]] std::optional<SubstituteAnswer> short_answer(const SubstituteRequest& request, const Standing& standing,
                                                           const std::map<std::string, Effect>& meant,
                                                           std::string& why);
[[nodiscard]] std::optional<SubstituteAnswer> reschedule_answer(const SubstituteRequest& request,
                                                                const Standing& standing,
                                                                const std::map<std::string, Effect>& meant,
                                                                std::string& why);
[[nodiscard]] std::optional<SubstituteAnswer> buy_answer(const SubstituteRequest& request, const Standing& standing,
                                                         std::string& why);

} // namespace lotwort::plan

// A verb is run again where somebody booked between its reading and its end.
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/verbs/call.hpp>
#include <lotwort/verbs/units.hpp>
#include <map>
#include <memory>

namespace lotwort::verbs {

namespace {

// Questions that were answered are not asked again when a verb is run again: the second asking of one is answered as
// its second asking was.
struct Memory {
    std::map<std::pair<std::string, int>, std::optional<std::string>> answered;
    std::map<std::string, int> asked; // so often, in this turn
};

Surroundings with_memory(Surroundings around, const std::shared_ptr<Memory>& memory) {
    if (!around.ask) return around;
    around.ask = [memory, ask = around.ask](const std::string& asked) {
        const std::string question = report::refusal_as_answered(asked);
        const std::pair key(question, ++memory->asked[question]);
        const auto known = memory->answered.find(key);
        return known != memory->answered.end() ? known->second
                                               : memory->answered.emplace(key, ask(question)).first->second;
    };
    return around;
}

constexpr int most_turns = 4;

// What a damaged ledger says may break any promise of ours: that is no fault of the program.
void demand_sound(const Command& command, const Call& call) {
    if (command.ledger != LedgerUse::reads && command.ledger != LedgerUse::writes) return;
    const std::string path = call.ledger_path();
    const auto faults = Ledger::prove(path);
    if (faults.empty()) return;
    throw Error(ErrorKind::ledger,
                fmt::format("the ledger {} is damaged ({}: {})", path, faults.front().where, faults.front().what),
                "`lotwort verify` lists its faults; keep a copy of it, then put a backup in its place");
}

Answer answered(const Call& call, Answer answer) {
    answer = call.with_understood(std::move(answer));
    if (!answer.is_file) answer.text = report::as_answered(answer.text);
    return answer;
}

} // namespace

Answer run_verb(const Command& command, const Arguments& arguments, const Surroundings& surroundings,
                bool can_run_again) {
    const auto memory = std::make_shared<Memory>();
    const Surroundings around = with_memory(surroundings, memory);
    for (int turn = can_run_again ? 1 : most_turns;; ++turn) {
        memory->asked.clear();
        Call call(command, arguments, around, turn < most_turns ? Turn::checked : Turn::last);
        const report::AnswersIn units = answers_in(call);
        try {
            Answer answer = command.run(call);
            call.demand_all_used();
            if (!call.moved()) return answered(call, std::move(answer));
        } catch (const Moved&) {
            LOTWORT_CHECK(turn < most_turns);
        } catch (const Error& fault) {
            // else it may be of two states of the ledger, mixed
            if (fault.kind() == ErrorKind::ledger || !call.moved())
                throw Error(fault.kind(), report::refusal_as_answered(fault.what()),
                            report::refusal_as_answered(fault.hint()));
        } catch (const std::logic_error&) {
            if (call.moved()) continue;
            demand_sound(command, call);
            throw;
        }
    }
}

} // namespace lotwort::verbs

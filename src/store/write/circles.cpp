// What cannot have been: yeast that was harvested from the brew that pitched it, a lot that was made of itself, a brew
// that was run into its own fermenter by way of others.
#include "booking.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include "read/snapshot.hpp"
#include <algorithm>
#include <map>
#include <set>

namespace lotwort::store {

namespace {

enum class Kind { lot, brew };
using Place = std::pair<Kind, std::string>;

// Looks for a way from a place back to itself.
class Circles {
public:
    explicit Circles(Connection& connection) : connection_(connection) {
        for (const LotOrigin& origin : read_origins(connection)) {
            made_.insert(origin.lot);
            from_[{origin.from_brew ? Kind::brew : Kind::lot, origin.from}].push_back(origin.lot);
        }
    }

    [[nodiscard]] bool is_made(const std::string& lot) const { return made_.contains(lot); }

    // The lot that closes the circle, or none.
    [[nodiscard]] std::optional<std::string> closing(const Place& start) {
        std::set<Place> seen;
        std::vector<Place> waiting{start};
        while (!waiting.empty()) {
            const Place at = waiting.back();
            waiting.pop_back();
            for (const Place& next : steps(at)) {
                if (next == start) return start.first == Kind::lot ? start.second : at.second;
                if (seen.insert(next).second) waiting.push_back(next);
            }
        }
        return std::nullopt;
    }

private:
    // Only lots that were made here can lead back.
    std::vector<Place> steps(const Place& at) {
        std::vector<Place> next;
        if (const auto made = from_.find(at); made != from_.end())
            for (const std::string& lot : made->second) next.emplace_back(Kind::lot, lot);
        if (at.first == Kind::brew || !is_made(at.second)) return next;
        Query brews(connection_,
                    "SELECT DISTINCT brew.code FROM movement JOIN lot USING (lot_id) JOIN brew USING (brew_id) "
                    "WHERE lot.code = ? AND kind = 'brew' AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                    "WHERE answer.reverses_movement_id = movement.movement_id)");
        brews.text(at.second);
        while (brews.next()) next.emplace_back(Kind::brew, brews.read_text());
        return next;
    }

    Connection& connection_;
    std::set<std::string> made_;
    std::map<Place, std::vector<std::string>> from_;
};

void refuse_lots(Circles& circles, const Book& part) {
    for (const Lot& lot : part.lots)
        if (circles.is_made(lot.code) && circles.closing({Kind::lot, lot.code}))
            throw Error(ErrorKind::refused, fmt::format("{}: it would be made of itself", called("lot", lot.code)),
                        "look at what it was made from, and at the brew it was harvested from");
}

void refuse_pitched(Circles& circles, const Book& part) {
    for (const Brew& brew : part.brews) {
        const bool any_made = std::ranges::any_of(
            brew.additions, [&](const Addition& addition) { return circles.is_made(addition.lot); });
        const auto lot = any_made ? circles.closing({Kind::brew, brew.code}) : std::nullopt;
        if (lot)
            throw Error(ErrorKind::refused,
                        fmt::format("{}: {} comes of this brew itself, and cannot have gone into it",
                                    called("brew", brew.code), called("lot", *lot)),
                        fmt::format("look at the lot: lotwort lot {} says which brew it was harvested from", *lot));
    }
}

void refuse_fermenter(Connection& connection, const Brew& brew) {
    if (!brew.fermented_with) return;
    const auto whose = called("brew", brew.code);
    if (*brew.fermented_with == brew.code)
        throw Error(ErrorKind::refused, fmt::format("{}: it cannot be run into its own fermenter a second time", whose),
                    "name the brew that was in the fermenter before it, or leave it out");
    std::set<std::string> seen{brew.code};
    std::optional<std::string> at = brew.fermented_with;
    while (at) {
        if (!seen.insert(*at).second)
            throw Error(
                ErrorKind::refused,
                fmt::format("{}: {} was run into its fermenter itself", whose, called("brew", *brew.fermented_with)),
                "only the later of two brews names the earlier");
        Query into(connection, "SELECT fermented_with FROM brew_now WHERE code = ?");
        at = into.text(*at).next() ? into.read_text_or_null() : std::nullopt;
    }
    Query given_up(connection, "SELECT abandoned FROM brew_now WHERE code = ?");
    if (!given_up.text(*brew.fermented_with).next() || given_up.is_null() || brew.abandoned) return;
    throw Error(ErrorKind::refused,
                fmt::format("{}: {} was given up ({}), and its fermenter holds nothing to be run into", whose,
                            called("brew", *brew.fermented_with), given_up.read_text()),
                "leave the fermenter's brew out");
}

} // namespace

void refuse_circles(Connection& connection, const Book& part) {
    for (const Brew& brew : part.brews) refuse_fermenter(connection, brew);
    if (part.lots.empty() && part.brews.empty()) return;
    Circles circles(connection);
    refuse_lots(circles, part);
    refuse_pitched(circles, part);
}

} // namespace lotwort::store

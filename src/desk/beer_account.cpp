#include "beer_account.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

constexpr int days_of_a_tank = 60;         // longer than that, and its packages are asked after
constexpr std::int64_t hundredth = 10'000; // of a litre, in microlitres

Amount in_hundredths(Litres litres) {
    const Amount exact = Amount::of(litres);
    const std::int64_t half = exact.units < 0 ? -hundredth / 2 : hundredth / 2;
    return {Measure::volume, (exact.units + half) / hundredth * hundredth};
}

// A mean by volume, of what is known.
struct Mean {
    double sum = 0.0, weight = 0.0;
    void add(std::optional<double> figure, Amount volume) {
        const double litres = volume.litres().value();
        if (!figure || litres <= 0.0) return;
        sum += *figure * litres;
        weight += litres;
    }
    [[nodiscard]] std::optional<double> value() const {
        return weight > 0.0 ? std::optional(sum / weight) : std::nullopt;
    }
};

struct Month {
    report::BeerMonth shown;
    Mean plato, abv;
};

class BeerAccount {
public:
    BeerAccount(report::Statement& statement, Ledger& ledger)
        : statement_(statement), ledger_(ledger), definitions_(ledger.definitions()), brews_(ledger.brews()),
          lots_(lot_book(ledger.lots(), definitions_)) {
        for (Package& run : ledger.packages()) runs_[run.brew].push_back(std::move(run));
        for (Date day = statement.from; day <= statement.to;) {
            const std::chrono::year_month_day date(day);
            const Date last = std::min(statement.to, Date(date.year() / date.month() / std::chrono::last));
            months_.emplace_back().shown.from = day;
            months_.back().shown.to = last;
            day = last + std::chrono::days(1);
        }
    }

    void tell() {
        const Fermenters fermenters(brews_);
        for (const Brew& brew : brews_)
            if (const auto& all = fermenters.of(brew); all.front() == &brew) add_fermenter(all);
        if (!any_) return;
        Amount there = before_;
        for (Month& month : months_) {
            report::BeerMonth& shown = month.shown;
            shown.opening = there;
            there = there + shown.brewed - shown.packaged - shown.lost;
            shown.in_tanks = there;
            shown.original_plato = month.plato.value();
            shown.packaged_abv = month.abv.value();
            statement_.beer.push_back(shown);
        }
        say("left out of the beer, for no volume was read in the fermenter", unread_);
        say(fmt::format("not packaged after {} days, and counted in tanks", days_of_a_tank), unpackaged_);
    }

private:
    void add_fermenter(const std::vector<const Brew*>& all) {
        Amount held{Measure::volume, 0}, gone = held;
        std::vector<std::string> open;
        for (const Brew* brew : all) {
            const BeerAsRead read = beer_as_read(reconcile_input(*brew, definitions_, lots_));
            if (!read.fermenter_l) {
                if (!brew->abandoned && brew->date <= statement_.to) unread_.push_back(brew->code);
                continue;
            }
            const Amount brewed = in_hundredths(Litres(*read.fermenter_l)) - held;
            held = held + brewed;
            book(brew->date, brewed, &report::BeerMonth::brewed, 1);
            if (Month* month = month_of(brew->date)) {
                ++month->shown.brews;
                if (read.original_sg)
                    month->plato.add(wort::plato(SpecificGravity(read.original_sg->value)).value(), brewed);
            }
            if (brew->abandoned) {
                gone = gone + brewed;
                book(brew->date, brewed, &report::BeerMonth::lost, -1);
            } else {
                open.push_back(brew->code);
            }
        }
        if (held.units != 0) add_runs(all, held, gone, open);
    }

    void add_runs(const std::vector<const Brew*>& all, Amount held, Amount gone, const std::vector<std::string>& open) {
        std::vector<const Package*> runs;
        for (const Brew* brew : all)
            for (const Package& run : runs_[brew->code]) runs.push_back(&run);
        std::ranges::stable_sort(runs, {}, [](const Package* run) { return run->on; });
        for (const Package* run : runs) {
            const Amount filled = in_hundredths(packaged_volume(*run));
            const Amount lost = in_hundredths(run->lost.value_or(Litres(0.0)));
            gone = gone + filled + lost;
            book(run->on, filled, &report::BeerMonth::packaged, -1);
            book(run->on, lost, &report::BeerMonth::lost, -1);
            if (Month* month = month_of(run->on)) {
                ++month->shown.runs;
                month->abv.add(shown_package(ledger_, definitions_, *run).beer.abv_pct, filled);
            }
        }
        const Amount rest = held - gone;
        const bool is_empty =
            !runs.empty() && static_cast<double>(rest.units) <= trub_share * static_cast<double>(held.units);
        if (is_empty)
            book(runs.back()->on, rest, &report::BeerMonth::lost, -1);
        else if (rest.units > 0 && !open.empty() &&
                 statement_.to - all.back()->date > std::chrono::days(days_of_a_tank))
            unpackaged_.insert(unpackaged_.end(), open.begin(), open.end());
    }

    Month* month_of(Date day) {
        const auto found =
            std::ranges::find_if(months_, [&](const Month& m) { return m.shown.from <= day && day <= m.shown.to; });
        return found == months_.end() ? nullptr : &*found;
    }
    void book(Date day, Amount volume, Amount report::BeerMonth::*where, int sign) {
        any_ = any_ || day <= statement_.to;
        if (Month* month = month_of(day))
            month->shown.*where = month->shown.*where + volume;
        else if (day < statement_.from)
            before_ = sign > 0 ? before_ + volume : before_ - volume;
    }
    void say(std::string_view what, const std::vector<std::string>& brews) {
        if (!brews.empty())
            statement_.says.push_back(
                fmt::format("{}: {}{}", what, brews.front(),
                            brews.size() > 1 ? fmt::format(" and {} more", brews.size() - 1) : ""));
    }

    report::Statement& statement_;
    Ledger& ledger_;
    Book definitions_;
    std::vector<Brew> brews_;
    LotBook lots_;
    std::map<std::string, std::vector<Package>> runs_;
    std::vector<Month> months_;
    Amount before_{Measure::volume, 0};
    std::vector<std::string> unread_, unpackaged_;
    bool any_ = false;
};

} // namespace

void add_beer(report::Statement& statement, Ledger& ledger) {
    BeerAccount(statement, ledger).tell();
}

} // namespace lotwort

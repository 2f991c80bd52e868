// The alpha acid of a hop lot on the day it is used.
//
// The certificate says what the hop held when it was analysed; the cold room and the months since have taken their
// share. The certificate's value is never overwritten: ageing is worked out anew for each day that is asked about
// (wort/hop_ageing.hpp). Only a stated analysis date starts the clock; without one the stated alpha is taken as it is.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/malt.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// Storage that nobody stated, judgement: a cool room, and how far it may be out. A stated temperature wanders by 3 C.
inline constexpr double assumed_storage_c = 10.0, assumed_storage_sd_c = 8.0, stated_storage_sd_c = 3.0;

struct HopAge {
    Figure alpha_pct;                 // on the day
    Figure stated_pct;                // as analysed (or the item's, or typical)
    std::optional<Date> analysed;     // the day of the analysis the alpha comes from; none: not aged
    int days = 0;                     // from it to the day
    double share_left = 1.0;          // of the stated alpha
    std::optional<double> hsi;        // as last measured, or as it will be; none: not aged
    bool by_index = false;            // a storage index measured since has set it
    std::vector<std::string> assumed; // what was taken because nobody stated it, in sentences
};

// The lot on a day. The alpha is that of the latest retest not after the day that states one, else the certificate's,
// as in alpha_pct; its day is the record's `analysed`, else the retest's own. A later retest of the storage index alone
// brings the alpha to that retest's day by the index, and time does the rest.
// Once the lot's pack is opened, the hop ages on as in a plain bag (wort::Packing::bag), whatever the packaging was.
// An analysis after the day does not age: the stated value holds.
[[nodiscard]] HopAge hop_age(const Item& item, const Lot& lot, Date day);

// An item of which no lot is at hand: its alpha, not aged.
[[nodiscard]] HopAge hop_age(const Item& item);

} // namespace lotwort

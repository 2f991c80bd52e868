// Labels for lots.
#include "html_page.hpp"
#include "html_text.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/pages.hpp>
#include <lotwort/report/qr.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string label(const Lot& lot) {
    std::string words = html::of_text("p", lot.code, "class=\"code\"") + html::of_text("p", lot.item, "class=\"item\"");
    words += html::of_text("p", fmt::format("{}, {}", to_iso(lot.received), to_text(lot.received_amount)));
    if (lot.best_before) words += html::of_text("p", "best before " + to_iso(*lot.best_before));
    if (lot.crop_year) words += html::of_text("p", fmt::format("crop {}", *lot.crop_year));
    return html::element("li", html::element("div", words) + qr_svg(lot.code, "the code " + lot.code));
}

} // namespace

std::string labels_page(const std::vector<Lot>& lots) {
    std::string body;
    for (const Lot& lot : lots) body += label(lot);
    return html::whole({.title = "Labels",
                        .under = counted(std::ssize(lots), "lot"),
                        .body = body.empty() ? html::of_text("p", "Nothing is on hand.") : html::element("ul", body),
                        .for_paper = true,
                        .is_labels = true});
}

} // namespace lotwort::report

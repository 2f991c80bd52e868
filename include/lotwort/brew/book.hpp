// A book: a whole ledger's contents, or a part of one. It is what an exchange file holds, what an export
// reads, and what every command that writes hands to the ledger: booking is appending a book.
//
// When a book is appended, a record whose name or code is new is added. One that is known joins what is there:
// - an item, instrument, brewhouse, recipe, tank, supplier or plan becomes its next version;
// - a brew gains the additions and readings listed (its head fields must agree);
// - a run of packages gains what is listed as sent.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/brewhouse.hpp>
#include <lotwort/brew/package.hpp>
#include <lotwort/brew/recipe.hpp>
#include <lotwort/brew/tank.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/movement.hpp>
#include <lotwort/stock/offer.hpp>
#include <string>
#include <vector>

namespace lotwort {

struct Book {
    std::string currency; // ISO 4217; empty in a part that states none
    std::vector<Item> items;
    std::vector<Instrument> instruments;
    std::vector<Brewhouse> brewhouses;
    std::vector<Lot> lots;
    std::vector<Recipe> recipes;
    std::vector<Tank> tanks;
    std::vector<Brew> brews;
    std::vector<Package> packages;
    std::vector<Supplier> suppliers;
    std::vector<Offer> offers;
    std::vector<Order> orders;
    std::vector<Plan> plans;
    std::vector<Movement> movements;
    friend bool operator==(const Book&, const Book&) = default;
};

} // namespace lotwort

// What the ledger has, as lots that come in are held against it: read once, however many they are, and grown by them.
#pragma once

#include "lot_code.hpp"
#include "shared.hpp"
#include <deque>
#include <map>
#include <unordered_map>

namespace lotwort::verbs {

// Names as find_name finds them: as typed, else the only one that differs in capitals alone.
class NameIndex {
public:
    void add(const std::string& name, std::size_t place);
    [[nodiscard]] std::optional<std::size_t> find(std::string_view typed) const;

private:
    std::unordered_map<std::string, std::size_t> exact_;
    std::unordered_map<std::string, std::vector<std::size_t>> lowered_;
};

class Shelf {
public:
    explicit Shelf(const Ledger& ledger);

    [[nodiscard]] const std::string& currency() const { return currency_; }

    // The item of that name, of the ledger or made since; null where nobody knows it. It stays as long as the shelf.
    [[nodiscard]] const Item* item(std::string_view name) const;
    const Item& make(Item item);
    [[nodiscard]] std::vector<std::string> item_names() const; // of the ledger's items and those made since
    // Names of the ledger's items that are near to one.
    [[nodiscard]] std::vector<std::string> near(std::string_view name) const;

    // The ledger's lot that a code would be taken for, and whether one that was given since would be.
    [[nodiscard]] std::optional<std::string> lot(std::string_view code);
    [[nodiscard]] bool is_given(std::string_view code) const { return given_.find(code).has_value(); }
    // The item's initials and the first number that no lot has.
    [[nodiscard]] std::string free_code(std::string_view item);
    // A lot gets that code.
    void give(const std::string& code, const std::string& item);

private:
    void read_codes();

    const Ledger& ledger_;
    std::string currency_;
    std::deque<Item> items_; // the ledger's first
    std::size_t known_ = 0;  // of them
    NameIndex item_names_;
    bool codes_are_read_ = false;
    std::vector<std::string> codes_;
    NameIndex lots_, given_;
    LotCodes numbers_;
};

} // namespace lotwort::verbs

// The ledger: one SQLite file that is only ever appended to.
//
// Every row stands under an entry. Taking an entry back appends a reversal that names it: rows of a reversed
// entry are no longer live, and its movements are answered by equal and opposite ones. The database itself
// refuses what must not happen (schema in migrations/*.sql): a balance below zero on any day, a changed or
// deleted movement, an orphan.
#pragma once

#include <lotwort/store/ledger_values.hpp>

namespace lotwort {

// An open ledger serves one thread at a time; several programs, or several of these, may share a file. A writer
// waits up to five seconds for another, then Error(ledger). Every answer is one picture: no writer comes between.
class Ledger {
public:
    using ReadUpTo = std::optional<std::int64_t>;

    // Makes a new ledger file. Error(ledger) where the file exists or its folder cannot be written.
    static void create(const std::string& path, std::string_view currency, const EntryHead& head);

    // What create would refuse of the path, before anything is made: there is a file, or no folder for it.
    static void check_new(const std::string& path);

    // The kind of network file system that a ledger of this path lies on, or would: NFS, SMB, FUSE, ...; empty for a
    // disk of this machine. Two machines that write at once rely on its locks, which not every server keeps, and a lost
    // lock can tear a file.
    [[nodiscard]] static std::string_view network_under(const std::string& path);

    // Opens a ledger and migrates it if opened to write. Error(ledger), the file untouched, where there is
    // none (hint: lotwort init), where it is no ledger, is damaged, was made by a newer program, or has another schema
    // than the migrations make.
    Ledger(const std::string& path, Access access);
    ~Ledger();
    Ledger(Ledger&&) noexcept;
    Ledger& operator=(Ledger&&) noexcept;

    // Appends a book as one entry, in one transaction: all of it or nothing (see brew/book.hpp for how a part
    // joins what is there). Beside what is said there:
    // - an order of a known code and an offer of a known supplier, item and pack become the next version;
    // - a lot of a known code, its other fields as they are, gains the retests it does not have, and goes on hold or
    //   off it as `held` says;
    // - a reading of a known id, its figures as they are, is set aside or counted again as `set_aside` says; one
    //   without an id gets the next (r1, r2, ...);
    // - a plan that was brewed stays;
    // - a lot on hold goes into no brew from the day of the hold on;
    // - a lot made from others takes from them on its day, and a known lot is opened as `opened` says;
    // - a known brew is given up as `abandoned` says, and what it lists as unused comes back, no more than went in;
    // - a known run of packages gains what is sent; no more goes out than was filled, and no more comes back than
    //   went there.
    //
    // Error(shortage) where a lot would fall below zero on some day, with the lot, what is there and since when.
    // Error(refused) for anything else that cannot be booked, a book that adds nothing included. Returns the entry.
    // `read_up_to`: the newest entry when what led to this was read; Moved where another has come since. Codes chosen,
    // versions restated and shortages found from a reading are sound only with it.
    Entry append(const Book& part, const EntryHead& head, ReadUpTo read_up_to = {});

    // As append, then rolled back: what would be booked, with every check; the file stays as it was.
    Entry rehearse(const Book& part, const EntryHead& head, ReadUpTo read_up_to = {});

    // Takes an entry back. Error(refused) where later entries stand on it (they are listed), where it is
    // itself a reversal, or where it has been taken back already.
    Entry reverse(std::int64_t number, const EntryHead& head, ReadUpTo read_up_to = {});
    Entry rehearse_reverse(std::int64_t number, const EntryHead& head, ReadUpTo read_up_to = {});
    // What taking it back does to stock: the opposite movements, and the lots that go on hold or off it.
    [[nodiscard]] Book opposite_of(std::int64_t number) const;

    // Keeps every other writer waiting (five seconds, then they are refused) until the next entry is booked or
    // rehearsed, or the ledger is closed: for who was overtaken again and again. Opened to write only.
    void hold();

    // The newest entry's number; 0 where there is none.
    [[nodiscard]] std::int64_t newest_entry() const;

    // From now on what is being booked ends where the flag is set, with nothing booked: Error(refused), "interrupted".
    // Too late for an entry that is committed.
    void stop_when(const std::atomic<bool>* flag);

    // Live contents.
    [[nodiscard]] std::string currency() const;
    // Items, instruments, brewhouses, recipes, suppliers, offers, orders and open plans, in the order of names
    // (orders and plans by day).
    [[nodiscard]] Book definitions() const;
    [[nodiscard]] std::vector<Brewhouse> brewhouses() const;
    [[nodiscard]] std::vector<std::string> own_words() const; // notes and reasons that people gave, each once
    [[nodiscard]] std::vector<StockRow> stock() const;        // by kind and item, then by day of receipt
    [[nodiscard]] std::vector<LotState> lots() const;         // live lots, certificates and retests included
    [[nodiscard]] std::optional<LotState> lot(std::string_view code) const;
    // As it was at the end of the day, as far as the ledger can know. On hand is by the movements up to it. Plans,
    // holds and openings count from the day of their entry, a brewed plan until the day of its brew. Lots that had
    // not come and what was taken back since are left out.
    [[nodiscard]] std::vector<LotState> lots_on(Date day) const;
    // The latest day that an entry or a movement is of which was not taken back, where one is later than the day.
    [[nodiscard]] std::optional<Date> booked_after(Date day) const;
    [[nodiscard]] std::vector<LotState> lots_harvested(std::string_view brew) const; // yeast of that brew, as lots()
    [[nodiscard]] std::vector<LotOrigin> origins() const;                            // of live lots, as booked
    [[nodiscard]] std::vector<Movement> movements(std::string_view lot) const;       // by day, then as booked
    [[nodiscard]] std::vector<Brew> brews() const;                                   // by date, then as booked
    [[nodiscard]] std::optional<Brew> brew(std::string_view code) const;
    // The brew and all that share its fermenter, as brews(); empty where there is no such brew.
    [[nodiscard]] std::vector<Brew> brews_of_fermenter(std::string_view brew) const;
    [[nodiscard]] std::optional<std::string> recipe_of(std::string_view brew) const; // without the brew's readings
    [[nodiscard]] std::vector<Package> packages() const;                             // by day, then as booked
    [[nodiscard]] std::optional<Package> package(std::string_view code) const;
    [[nodiscard]] std::vector<Package> packages_of(std::string_view brew) const; // of that brew alone, as packages()
    [[nodiscard]] std::vector<Plan> plans() const; // all by day: open, brewed and called off
    // All of it, as an export needs it. What was taken back is left out, but for its movements: `movements` holds
    // counts, discards, and each movement taken back with its reversal (receipts and uses too), in the order of
    // their contents and numbered m1, m2, ... in it. Booked into an empty ledger it gives the same book again.
    [[nodiscard]] Book book() const;

    [[nodiscard]] std::vector<Entry> history(const HistoryFilter& filter) const; // newest first
    [[nodiscard]] std::optional<Entry> entry(std::int64_t number) const;
    [[nodiscard]] std::optional<Entry> entry_of_form(std::string_view form) const; // that this form has booked

    // Entries after that one that have altered what the part is about, newest first: its lots (what plans reserve of
    // them left out), plans, readings of the same point, additions, packages and orders, and what it states anew. One
    // that was taken back since is left out, with what took it back.
    [[nodiscard]] std::vector<Entry> touching(const Book& part, std::int64_t since) const;

    // SQLite's integrity and foreign-key checks, balances recomputed from movements, migrations' checksums.
    // Entries' seals follow from their rows and the seal before (docs/ledger.md).
    [[nodiscard]] std::vector<LedgerFault> verify() const;
    // The same of a ledger that may have another schema, so that it cannot be opened: what differs in it.
    [[nodiscard]] static std::vector<LedgerFault> prove(const std::string& path);

    // The newest entry that is sealed; none where none is.
    [[nodiscard]] std::optional<Seal> newest_seal() const;
    // The entry whose seal begins with these hexadecimal digits; none where no seal does.
    [[nodiscard]] std::optional<std::int64_t> entry_sealed(std::string_view digits) const;

    // A copy while in use (SQLite's backup API), verified, synced, then moved into place. Error(ledger) where a file
    // is there, unless it is an earlier backup and may be replaced.
    enum class Replace { no, yes };
    void backup(const std::string& path, Replace replace = Replace::no) const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace lotwort

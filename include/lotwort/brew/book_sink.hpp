// Takes a book record by record: a ledger of many years is read without being held in memory.
#pragma once

#include <lotwort/brew/book.hpp>

namespace lotwort {

class BookSink {
public:
    BookSink() = default;
    BookSink(const BookSink&) = delete;
    BookSink& operator=(const BookSink&) = delete;
    virtual ~BookSink() = default;

    // Comes first, once: all but the brews and the book's own movements, whose lists are empty. `rest` stands until
    // the end.
    virtual void begin(const Book& rest) = 0;
    // Then the brews, then the movements, in the order of the book. What is handed over is the caller's, and is filled
    // anew for the next.
    virtual void brew(const Brew& brew) = 0;
    virtual void movement(const Movement& movement) = 0;
    // Comes last, once, where nothing was thrown.
    virtual void end() = 0;
};

} // namespace lotwort

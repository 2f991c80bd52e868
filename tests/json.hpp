// What a verb answered with --json, to look into. The parser behind it is compiled once, in json.cpp: read by each
// test, it cost more than the test.
#pragma once

#include <initializer_list>
#include <iosfwd>
#include <iterator>
#include <memory>
#include <string>
#include <type_traits>

namespace lotwort::test {

// A place in a document, which lives as long as a place in it. What is not there is null.
class Json {
public:
    class Iterator;

    Json() = default; // null
    explicit Json(const std::string& text);
    [[nodiscard]] static Json array(std::initializer_list<const char*> texts);
    // Throws what the parser throws.
    [[nodiscard]] static Json parse(const std::string& text);

    Json operator[](const char* key) const { return member(key); }
    Json operator[](const std::string& key) const { return member(key); }
    Json operator[](int index) const { return element(static_cast<std::size_t>(index)); }
    Json operator[](std::size_t index) const { return element(index); }
    [[nodiscard]] bool contains(const std::string& key) const;
    [[nodiscard]] bool is_null() const;
    [[nodiscard]] std::size_t size() const;
    [[nodiscard]] bool empty() const { return size() == 0; }
    [[nodiscard]] Json front() const { return element(0); }
    [[nodiscard]] Json back() const { return element(size() - 1); }
    [[nodiscard]] Iterator begin() const;
    [[nodiscard]] Iterator end() const;

    // double, int or std::string; throws where it is another thing.
    template <class T>
    [[nodiscard]] T get() const {
        if constexpr (std::is_same_v<T, std::string>)
            return text();
        else
            return static_cast<T>(number());
    }
    operator double() const { return get<double>(); }           // NOLINT(*-explicit-*): as tests write it
    operator std::string() const { return get<std::string>(); } // NOLINT(*-explicit-*)

    friend bool operator==(const Json& one, const Json& other);
    friend bool operator==(const Json& one, const char* text) { return one.is_text(text); }
    friend bool operator==(const Json& one, const std::string& text) { return one.is_text(text); }
    template <class N>
    requires std::is_arithmetic_v<N>
    friend bool operator==(const Json& one, N number) {
        if constexpr (std::is_same_v<N, bool>)
            return one.is_truth(number);
        else
            return one.is_number(static_cast<double>(number));
    }
    friend std::ostream& operator<<(std::ostream& out, const Json& json);

private:
    Json(std::shared_ptr<const void> document, const void* here) : document_(std::move(document)), here_(here) {}
    [[nodiscard]] Json member(const std::string& key) const;
    [[nodiscard]] Json element(std::size_t index) const; // of an object: its values
    [[nodiscard]] std::string text() const;
    [[nodiscard]] double number() const;
    [[nodiscard]] bool is_text(const std::string& text) const;
    [[nodiscard]] bool is_truth(bool truth) const;
    [[nodiscard]] bool is_number(double number) const;

    std::shared_ptr<const void> document_;
    const void* here_ = nullptr;
};

class Json::Iterator {
public:
    using iterator_category = std::input_iterator_tag;
    using value_type = Json;
    using difference_type = std::ptrdiff_t;
    using pointer = void;
    using reference = Json;

    Iterator() = default;
    Iterator(Json of, std::size_t at) : of_(std::move(of)), at_(at) {}
    Json operator*() const { return of_[at_]; }
    Iterator& operator++() {
        ++at_;
        return *this;
    }
    Iterator operator++(int) { return {of_, at_++}; }
    friend bool operator==(const Iterator& one, const Iterator& other) { return one.at_ == other.at_; }

private:
    Json of_;
    std::size_t at_ = 0;
};

} // namespace lotwort::test

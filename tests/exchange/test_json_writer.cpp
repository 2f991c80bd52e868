#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <lotwort/core/date.hpp>
#include <lotwort/exchange/json_writer.hpp>

using namespace lotwort;

namespace {

template <class Value>
std::string written(const Value& value) {
    JsonWriter w(1, JsonWriter::Digits::exact);
    w.value(value);
    std::string text = std::move(w).text();
    text.pop_back(); // the line end
    return text;
}

} // namespace

TEST_CASE("a document is laid out an entry a line, lists of numbers in one") {
    JsonWriter w(2);
    w.begin_object().field("schema", "lotwort/stock/1").field("absent", std::optional<double>{});
    w.key("lots").begin_array();
    w.begin_object().field("lot", "PM-01").field("on_hand_kg", Kilograms(12.5)).field("held", false).end_object();
    w.end_array();
    w.key("none").begin_array().end_array();
    w.field("numbers", std::vector<double>{1.0, 2.5}).key("reason").null();
    w.end_object();
    CHECK(std::move(w).text() == "{\n"
                                 "  \"schema\": \"lotwort/stock/1\",\n"
                                 "  \"lots\": [\n"
                                 "    {\n"
                                 "      \"lot\": \"PM-01\",\n"
                                 "      \"on_hand_kg\": 12.5,\n"
                                 "      \"held\": false\n"
                                 "    }\n"
                                 "  ],\n"
                                 "  \"none\": [],\n"
                                 "  \"numbers\": [1, 2.5],\n"
                                 "  \"reason\": null\n"
                                 "}\n");
}

TEST_CASE("what is begun in one line stays in it") {
    JsonWriter w;
    w.begin_array().begin_object(JsonWriter::Layout::one_line).field("packs", 5).field("price", 1.5);
    w.key("more").begin_array().value(1).begin_array().end_array().end_array().end_object().end_array();
    CHECK(std::move(w).text() == "[\n {\"packs\": 5, \"price\": 1.5, \"more\": [1, []]}\n]\n");

    JsonWriter flat(0);
    flat.begin_object().key("a").begin_array().value(1).value(2).end_array().end_object();
    CHECK(std::move(flat).text() == "{\"a\": [1, 2]}\n");
}

TEST_CASE("a number is the shortest decimal that reads back to the same double") {
    CHECK(written(23.0) == "23");
    CHECK(written(0.1) == "0.1");
    CHECK(written(0.1 + 0.2) == "0.30000000000000004"); // IEEE 754 binary64, seventeen digits are needed
    CHECK(written(1.0 / 3.0) == "0.3333333333333333");
    CHECK(written(-0.0) == "0");
    CHECK(written(1e6) == "1000000");
    CHECK(written(0.00001) == "0.00001");
    CHECK(written(1e-7) == "1e-07");
    CHECK(written(1e300) == "1e+300");
    CHECK(written(5e-324) == "5e-324"); // the least double
    CHECK(written(std::numeric_limits<std::int64_t>::min()) == "-9223372036854775808");
    CHECK(written(SpecificGravity(1.048)) == "1.048");
    CHECK(written(*parse_iso_date("2026-02-28")) == "\"2026-02-28\"");
    CHECK(written(true) == "true");
}

TEST_CASE("an answer's figures end where arithmetic begins to show, and nothing is lost of what a brewery means") {
    const auto answered = [](double figure) {
        JsonWriter w;
        w.value(figure);
        return std::move(w).text();
    };
    CHECK(answered(0.1 + 0.2) == "0.3\n");
    CHECK(answered(1.0000000000000004) == "1\n");
    CHECK(answered(158.61651999999998) == "158.61652\n");
    CHECK(answered(113.398093) == "113.398093\n");       // 250 lb to the milligram
    CHECK(answered(999999.999999) == "999999.999999\n"); // a thousand tonnes but for a milligram
    CHECK(answered(-1.0 / 3.0) == "-0.333333333333\n");
    CHECK(answered(5e-324) == "5e-324\n");
    CHECK(answered(1.7976931348623157e308) == "1.79769313486e+308\n");
    CHECK(answered(0.0) == "0\n");
}

TEST_CASE("text is escaped where JSON asks for it and where it would not be seen, and nowhere else") {
    CHECK(written("") == "\"\"");
    CHECK(written("a \"b\" c\\d") == R"("a \"b\" c\\d")");
    CHECK(written(std::string("\0\x01\x1f\b\f\n\r\t\x7f", 9)) == "\"\\u0000\\u0001\\u001f\\b\\f\\n\\r\\t\\u007f\"");
    CHECK(written("a\u009bb\u202ec\u2028") == R"("a\u009bb\u202ec\u2028")");
    CHECK(written("\U000E0041x") == R"("\udb40\udc41x")"); // RFC 8259, section 7: above U+FFFF as a surrogate pair
    CHECK(written("Brauküche, хмель, 麦芽, 🌾") == "\"Brauküche, хмель, 麦芽, 🌾\"");
}

TEST_CASE("text that is not UTF-8 is refused") {
    for (const char* wrong : {"\x80", "caf\xe9", "\xc0\xaf", "\xe2\x82", "\xed\xa0\x80", "\xf5\x80\x80\x80", "\xff",
                              "\xf4\x90\x80\x80", "\xe0\x80\x80", "\xf0\x80\x80\x80", "a\xc3"})
        CHECK_THROWS_AS((void)written(wrong), Error);
    CHECK_THROWS_WITH_AS((void)written("caf\xe9"), "a text is not UTF-8 from its byte 4 on, after `caf`", Error);
    for (const char* right : {"\xc2\x80", "\xdf\xbf", "\xe0\xa0\x80", "\xed\x9f\xbf", "\xee\x80\x80", "\xef\xbf\xbf",
                              "\xf0\x90\x80\x80", "\xf4\x8f\xbf\xbf"})
        CHECK_NOTHROW((void)written(right));
}

TEST_CASE("a document that is no JSON is a bug, not a file") {
    CHECK_THROWS_AS((void)written(std::nan("")), Bug);
    CHECK_THROWS_AS((void)written(std::numeric_limits<double>::infinity()), Bug);
    CHECK_THROWS_AS(JsonWriter().begin_object().value(1), Bug);                // a value without a name
    CHECK_THROWS_AS(JsonWriter().begin_array().key("a"), Bug);                 // a name in a list
    CHECK_THROWS_AS(JsonWriter().begin_object().key("a").key("b"), Bug);       // two names
    CHECK_THROWS_AS(JsonWriter().begin_object().key("a").end_object(), Bug);   // a name without a value
    CHECK_THROWS_AS(JsonWriter().begin_object().end_array(), Bug);             // closed as something else
    CHECK_THROWS_AS(JsonWriter().value(1).value(2), Bug);                      // two documents
    CHECK_THROWS_AS((void)std::move(JsonWriter().begin_object()).text(), Bug); // left open
    CHECK_THROWS_AS((void)JsonWriter().text(), Bug);                           // empty
}

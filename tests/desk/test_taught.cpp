// What brews taught, kept from question to question: the same basis is not worked out twice, and what is of before says
// so.
#include <any>
#include <doctest/doctest.h>
#include <functional>
#include <lotwort/desk/taught.hpp>
#include <stdexcept>
#include <string>
#include <vector>

using namespace lotwort;

namespace {

// Works nothing out before it is told to.
struct Waiting {
    std::vector<std::function<void()>> pieces;
    bool is_full = false;
    bool take(std::function<void()> piece) {
        if (!is_full) pieces.push_back(std::move(piece));
        return !is_full;
    }
    void work() {
        for (auto& piece : pieces) piece();
        pieces.clear();
    }
};

} // namespace

TEST_CASE("what is known is worked out once for a basis, and shown as of before while it is worked out anew") {
    Waiting aside;
    Taught taught([&](std::function<void()> piece) { return aside.take(std::move(piece)); });
    int worked = 0;
    struct Shown {
        int value;
        std::string behind;
    };
    const auto asked = [&](std::size_t basis, const std::string& state, const std::string& subject = "lots") {
        Teaching teaching(taught);
        const int value = teaching.learned<int>(subject, state, [&, basis]() -> Taught::Question {
            return {basis, [&worked, basis]() -> std::any { return ++worked, static_cast<int>(10 * basis); }};
        });
        return Shown{value, teaching.behind().value_or("")};
    };
    CHECK(asked(1, "entry 1").value == 10); // at once: nothing is known
    CHECK(asked(1, "entry 1").value == 10);
    CHECK(asked(1, "entry 2").behind.empty()); // an entry that it does not rest on
    CHECK(worked == 1);

    CHECK(asked(2, "entry 3").value == 10);
    CHECK(asked(2, "entry 3").behind == "entry 2");
    CHECK(aside.pieces.size() == 1); // asked for twice, worked out once
    CHECK(asked(5, "entry 3", "brew").value == 50);
    aside.work();
    CHECK(asked(2, "entry 3").value == 20);
    CHECK(asked(2, "entry 3").behind.empty());
    CHECK(worked == 3);

    aside.is_full = true; // it is asked for again when there is room
    CHECK(asked(3, "entry 4").behind == "entry 3");
    aside.is_full = false;
    CHECK(asked(3, "entry 4").value == 20);
    aside.work();
    CHECK(asked(3, "entry 4").value == 30);
}

TEST_CASE("what cannot be worked out aside is told to who asks next") {
    Waiting aside;
    Taught taught([&](std::function<void()> piece) { return aside.take(std::move(piece)); });
    const auto asked = [&](std::size_t basis, bool fails) {
        Teaching teaching(taught);
        return teaching.learned<int>("lots", "entry " + std::to_string(basis), [=]() -> Taught::Question {
            return {basis, [=]() -> std::any {
                        if (fails) throw std::runtime_error("no");
                        return 7;
                    }};
        });
    };
    CHECK(asked(1, false) == 7);
    CHECK(asked(2, true) == 7);
    aside.work();
    CHECK_THROWS_AS((void)asked(2, true), std::runtime_error);
}

TEST_CASE("a basis is another where any of its brews, lots or weights is") {
    LearnRequest request;
    ReconcileInput input;
    input.brew.code = "B1";
    input.brewhouse.name = "shed";
    UsedLot& used = input.lots["PAM-1"];
    used.item.name = used.lot.item = "pale ale malt";
    used.lot.code = "PAM-1";
    request.brews.push_back(input);
    const std::size_t basis = basis_of(request);
    CHECK(basis_of(request) == basis);
    LearnRequest other = request;
    other.brews[0].brew.readings.emplace_back().id = "r1";
    CHECK(basis_of(other) != basis);
    other = request;
    other.brews[0].lots["PAM-1"].lot.certificate.emplace().moisture = Percent(4.0);
    CHECK(basis_of(other) != basis);
    other = request;
    other.older = 1;
    CHECK(basis_of(other) != basis);
    other = request;
    other.packaged["B1"] = 0.9;
    CHECK(basis_of(other) != basis);
    other = request;
    other.brews[0].brew.code = "B2";
    CHECK(basis_of(other) != basis);
}

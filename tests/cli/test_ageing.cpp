// The ageing list: what spoils or loses its bitterness first, and what 90 days cost.
#include "brewery.hpp"
#include "near.hpp"

using namespace lotwort;
using namespace lotwort::test;

namespace {

// On 2026-03-14. The hop was analysed 180 days before: unpacked at 20 °C it loses 35 % in that time (Garetz).
void fill(const Brewery& brewery) {
    brewery.done("init --currency EUR");
    brewery.done("receive \"pale ale malt\" 20kg --lot P-1 --price 30 --best-before 2026-03-20");
    brewery.done("receive \"pale ale malt\" 20kg --lot P-2 --price 40 --best-before 2026-06-12"); // 90 days on
    brewery.done("receive \"pale ale malt\" 20kg --lot P-3 --price 50 --best-before 2026-06-13");
    brewery.done("receive \"crystal malt\" 5kg --lot C-1 --best-before 2026-03-04");
    brewery.done("receive \"late hop\" 1kg --lot H-1 --price 20 --alpha 10% --analysed 2025-09-15 --storage 20C "
                 "--packaging open --best-before 2028-01-01");
    brewery.done("receive sucrose 5kg --lot S-1 --price 5");
}

} // namespace

TEST_CASE("what goes bad first stands first: a best before, or a tenth of the alpha gone") {
    const Brewery brewery;
    fill(brewery);
    const Json list = brewery.json("stock --ageing");
    CHECK(list["schema"] == "lotwort/ageing/1");
    CHECK(list["days"] == 90);
    std::string order;
    for (const auto& line : list["ageing"]) order += line["lot"].get<std::string>() + " ";
    CHECK(order == "C-1 P-1 H-1 P-2 P-3 ");
    CHECK(list["lots_without_date"] == 1); // sugar keeps
    CHECK(list["ageing"][0]["days_left"] == -10);
    CHECK(list["ageing"][1]["days_left"] == 6);
    // 0.65^(d/180) = 0.9 at d = 180 ln 0.9 / ln 0.65 = 44.02: the 45th day
    CHECK(list["ageing"][2]["weak_from"] == "2026-04-28");
}

TEST_CASE("a hop's alpha now and in 90 days, by Garetz") {
    const Brewery brewery;
    fill(brewery);
    const Json hop = brewery.json("stock \"late hop\" --ageing")["ageing"][0];
    CHECK(hop["alpha_pct"].get<double>() == near(6.5));         // 10 * 0.65
    CHECK(hop["alpha_then_pct"].get<double>() == near(5.2405)); // 10 * 0.65^1.5
    CHECK(hop["value"] == 20);
    CHECK(hop["at_stake"] == 3.88); // 20 (1 - 0.65^0.5) = 3.8755
    CHECK(hop["best_before"] == "2028-01-01");
}

TEST_CASE("at stake is all of a lot that expires within 90 days, nothing of one that expires later") {
    const Brewery brewery;
    fill(brewery);
    const Json list = brewery.json("stock --ageing");
    CHECK(list["ageing"][3]["at_stake"] == 40); // on the 90th day
    CHECK(list["ageing"][4]["at_stake"] == 0);  // on the 91st
    CHECK_FALSE(list["ageing"][0].contains("at_stake"));
    CHECK(list["lots_without_price"] == 1);
    CHECK(list["at_stake"] == 73.88); // 30 + 40 + 3.88
    brewery.done("discard P-1 10kg --reason damaged");
    CHECK(brewery.json("stock --ageing")["at_stake"] == 58.88); // half of P-1 is gone
    CHECK(brewery.done("stock --ageing").find("at stake within 90 days: 58.88 EUR; 1 lot has no price\n") !=
          std::string::npos);
}

TEST_CASE("an opened lot says when, and its hop ages faster") {
    const Brewery brewery;
    fill(brewery);
    CHECK(brewery.done("stock --ageing").find("opened") == std::string::npos);
    brewery.done("receive \"bittering hop\" 1kg --lot V-1 --alpha 10% --analysed 2026-03-14 --storage 20C "
                 "--packaging vacuum");
    const auto then = [&] { return brewery.json("stock \"bittering hop\" --ageing")["ageing"][0]["alpha_then_pct"]; };
    const double closed = then().get<double>();
    brewery.done("lot V-1 --open");
    CHECK(then().get<double>() < closed - 0.1);
    CHECK(brewery.done("stock --ageing").find("\nopened: V-1 on 2026-03-14\n") != std::string::npos);
    brewery.done("lot S-1 --open");
    const Json sugar = brewery.json("stock sucrose --ageing");
    CHECK(sugar["ageing"][0]["opened"] == "2026-03-14");
    CHECK(sugar["lots_without_date"] == 0);
}

TEST_CASE("as CSV, a row a lot; in a terminal, 80 columns") {
    const Brewery brewery;
    fill(brewery);
    const std::string csv = brewery.done("stock --ageing --csv");
    CHECK(csv.find("\r\nC-1,crystal malt,malt,kg,5,2026-03-04,-10,,,,,,,,EUR\r\n") != std::string::npos);
    CHECK(csv.find("\r\nH-1,late hop,hop,kg,1,2028-01-01,658,6.50,5.24,2026-04-28,,,20.00,3.88,EUR\r\n") !=
          std::string::npos);
    brewery.done("receive \"a malt with a name that is longer than any label\" 1000kg --lot LONG-CODE-1 --price 1000 "
                 "--best-before 2026-04-01");
    brewery.done("lot P-1 --open");
    const std::string text = brewery.done("stock --ageing");
    std::size_t begin = 0;
    for (std::size_t end = text.find('\n'); end != text.npos; begin = end + 1, end = text.find('\n', begin))
        CHECK(end - begin <= 82); // bytes: an ellipsis has three
    CHECK(brewery.run("stock --ageing --lots").status == 2);
}

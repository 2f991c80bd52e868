#include "every_option.hpp"
#include <array>
#include <stdexcept>

namespace lotwort::test {

void stock_every_kind(Brewery& b) {
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\noriginal_gravity_sg = 1.045\nboil_minutes = 60\n"
                         "grist = [{item = \"pale ale malt\", mass_kg = 4}]\n"
                         "hops = [{item = \"bittering hop\", minutes = 60, mass_g = 30}]\n");
    b.write("dark.toml",
            "name = \"dark\"\nvolume_l = 20\noriginal_gravity_sg = 1.050\n"
            "grist = [{item = \"pale ale malt\", mass_kg = 4}, {item = \"crystal malt\", mass_kg = 0.5}]\n");
    b.write("mild.toml", "name = \"mild\"\nvolume_l = 20\ngrist = [{item = \"pale ale malt\", mass_kg = 3}]\n");
    b.write("kit.toml", "name = \"cellar\"\nvolume_l = 40\nboil_off_l_per_h = 5\n");
    b.write("paper.toml", "protein_pct = 10.5\n");
    b.write("note.csv", "item,amount,lot\npale ale malt,25kg,N-1\nbittering hop,1kg,N-2\n");
    b.write("headed.csv", "Article,amount,lot\npale ale malt,25kg,N-1\n");
    b.write("counted.csv", "lot,counted,unit,reason\nA,11.9,kg,\nH,460,g,spilled\n");
    b.write("brews.csv", "brew,date,brewhouse,item,amount,Part\nX1,2026-03-01,garage,pale ale malt,4kg,kettle\n");
    b.write("log.csv", "brew,point,volume,Warmth\nB1,fermenter,21L,20C\n");
    b.write("nothing.csv", "brew,point,volume\nB1,kettle-full,\n");
    b.write("more.json",
            "{\"schema\": \"lotwort/exchange/1\", \"currency\": \"EUR\", \"items\": [{\"name\": \"honey\", "
            "\"kind\": \"sugar\"}]}");
    b.write("there.json", "{}");
    b.write("there.lp", "");
    b.today("2026-02-01");
    for (const char* line :
         {"init --ledger FOLDER/other.lotwort",
          "init",
          "receive \"pale ale malt\" 25kg --lot A --price 32.50 --supplier Hillside --supplier-lot 77 --extract 81.5% "
          "--basis fine-dry --moisture 4.2% --colour 6EBC --best-before 2026-12-01",
          "receive \"pale ale malt\" 25kg --lot A2 --price 36 --best-before 2027-03-01",
          "receive \"pale ale malt\" 25kg --lot A3 --best-before 2028-03-01",
          "receive \"crystal malt\" 200g --lot C --price 1",
          "receive \"lager malt\" 25kg --lot L --price 20",
          "receive \"bittering hop\" 500g --lot H --alpha 10% --analysed 2026-01-01 --price 14",
          "receive \"ale yeast\" 2L --lot Y",
          "receive \"wheat malt\" 1kg --lot E",
          "discard E all --reason mouldy",
          "receive \"caramel malt\" 5kg --lot K --price 12",
          "brewhouse add garage 20L --sparge batch",
          "brewhouse add shed 50L",
          "brewhouse instrument stem --kind hydrometer",
          "brewhouse instrument scale --kind balance",
          "brewhouse instrument glass --kind refractometer",
          "recipe add FOLDER/pale.toml",
          "recipe add FOLDER/dark.toml",
          "offer terms Hillside --delivery 18 --lead 3days",
          "offer terms Lowland --lead 2days",
          "offer add Hillside \"pale ale malt\" 25kg 32.50 --shelf-life 300days",
          "offer add Hillside \"crystal malt\" 1kg 4",
          "offer add Lowland \"pale ale malt\" 25kg 30 --valid-until "
          "2026-02-05",
          "offer add Hillside \"lager malt\" 10kg 15"})
        b.done(line);
    b.today("2026-03-05");
    for (const char* line :
         {"brew --recipe pale --brewhouse garage --add A=4kg --add H=30g@boil,60 --add Y=0.2L@fermenter --on "
          "2026-03-02",
          "measure B1 kettle-full 26L@95C 1.041@20C fermenter 20L 1.046",
          "brew --recipe pale --brewhouse shed --add A=9kg --sure --on 2026-03-03",
          "brew --recipe pale --brewhouse garage --add A2=4kg --on 2026-03-04",
          "measure B3 kettle-full 26L@95C 1.040@20C fermenter 20L 1.045", "backup FOLDER/there.lotwort"})
        b.done(line);
    b.today("2026-03-14");
    b.write("orders.json",
            "{\"schema\": \"lotwort/exchange/1\", \"currency\": \"EUR\", \"orders\": ["
            "{\"code\": \"O1\", \"supplier\": \"Hillside\", \"ordered\": \"2026-03-06\", \"arrives\": \"2026-03-12\", "
            "\"lines\": [{\"item\": \"pale ale malt\", \"pack_kg\": 25, \"packs\": 4, \"cost\": 120}]},"
            "{\"code\": \"O2\", \"supplier\": \"Hillside\", \"ordered\": \"2026-03-06\", \"arrives\": \"2026-03-20\", "
            "\"lines\": [{\"item\": \"lager malt\", \"pack_kg\": 25, \"packs\": 1, \"cost\": 20}, "
            "{\"item\": \"wheat malt\", \"pack_kg\": 5, \"packs\": 1, \"cost\": 6}]}]}");
    for (const char* line :
         {"import FOLDER/orders.json", "plan dark --brewhouse garage --on 2026-03-20",
          "plan pale --brewhouse garage --on 2026-03-21",
          "plan dark --brewhouse shed --on "
          "2026-05-20",
          "receive sucrose 1kg --lot SU --price 2 --on 2026-03-01",
          "package B1 12 bottles 0.5L --prime SU=36g --to cafe --on 2026-03-13", "tank add FV1 30L", "tank add FV2 60L",
          "tank fill FV1 B1 --on 2026-03-10", "package B3 1 keg 0.5L --on 2026-03-13",
          "measure B1 fermenting 1.015@20C --on 2026-03-12"})
        b.done(line);
}

const std::vector<Way>& every_way() {
    static const std::vector<Way> ways{
        {"init"},
        {"item list"},
        {"item kinds"},
        {"item show \"pale ale malt\""},
        {"item add \"rye malt\""},
        {"item change \"pale ale malt\" --max-share 90%", {{"class", "--class wheat"}, {"kind", "--kind sugar"}}},
        {"brewhouse list"},
        {"brewhouse show garage"},
        {"brewhouse add barn 30L"},
        {"brewhouse change garage 21L"},
        {"brewhouse vessel garage --point kettle-full --wall-expansion 0.0001"},
        {"brewhouse instrument stem --bias-sd 0.002", {{"wort-factor", "--kind refractometer --wort-factor 1.05"}}},
        {"brewhouse instrument glass --bias-sd 0.2", {{"kind", "--kind balance"}}},
        {"brewhouse check stem --known water --read 1.001"},
        {"item change \"ale yeast\" --shelf-life 60days"},
        {"recipe list"},
        {"recipe show pale", {{"forecast", "--forecast --brewhouse garage"}}},
        {"recipe scale pale 30L --brewhouse garage"},
        {"recipe add FOLDER/mild.toml", {{"forecast", "--forecast --brewhouse garage"}}},
        {"recipe add \"stock ale\" 20L --malt \"pale ale malt=4kg\"", {{"forecast", "--forecast --brewhouse garage"}}},
        {"recipe change pale --mash-rest 63C",
         {{"whole", "--whole --malt \"pale ale malt=4kg\""}, {"forecast", "--forecast --brewhouse garage"}}},
        {"receive \"pale ale malt\" 25kg"},
        {"receive \"rye malt\" 25kg"},
        {"receive \"aroma hop\" 500g"},
        {"receive \"pale ale malt\" 25kg --packs 2 --price 60"},
        {"receive \"ale yeast\" 1L --from-brew B1"},
        {"receive --delivery FOLDER/note.csv"},
        {"receive --delivery FOLDER/headed.csv --columns item=Article"},
        {"receive --order O1 \"pale ale malt\" 25kg"},
        {"receive --order O1"},
        {"receive --order O2"},
        {"receive --order O2 --no-more \"sold out\""},
        {"stock"},
        {"stock --lots"},
        {"stock \"wheat malt\" --lots"},
        {"stock --ageing"},
        {"offer list", {{"SUPPLIER", "Lowland"}}},
        {"offer Lowland"},
        {"offer add Hillside \"bittering hop\" 1kg 30"},
        {"offer add Newcomer \"bittering hop\" 1kg 30"}, // a supplier that nobody stated terms of
        {"offer change Hillside \"pale ale malt\" 25kg 31"},
        {"offer remove Hillside \"pale ale malt\" 25kg"},
        {"offer terms Hillside --minimum 10", {{"lead", "--lead 9days"}}},
        {"buy"},
        {"buy --list"},
        {"buy --order"},
        {"buy --model FOLDER/new.mps"},
        {"buy --model FOLDER/there.json", {}, "force"},
        {"order", {{"ACTION", "O1"}}},
        {"order O1"},
        {"order list"},
        {"order show O1"},
        {"order O1 --list"},
        {"order add Lowland --line \"pale ale malt=2x25kg@60\""},
        {"order add Lowland --line \"pale ale malt=2x25kg@60\" --line \"lager malt=1x10kg@9\" --freight 12"},
        {"order change O2 --arrives 2026-03-25"},
        {"order close O2 --reason \"sold out\""},
        {"lot A"},
        {"lot H", {{"split", "--split 100g"}}},
        {"lot A --retest --moisture 5%"},
        {"lot H --open"},
        {"lot A --split 5kg"},
        {"lot A --merge A2"},
        {"count --sheet"},
        {"count --from FOLDER/counted.csv --reason \"weighed anew\""},
        {"count --from FOLDER/counted.csv --tolerance 10%"},
        {"count A 11kg --reason spilled"},
        {"count A 11kg", {}, "reason"},
        {"count A 12kg"},
        {"count A 11.99kg --tolerance 1%"},
        {"count A 12.49kg --moisture 8%"},
        {"discard A 1kg --reason mouldy"},
        {"plan", {{"RECIPE", "pale --brewhouse garage"}}},
        {"plan pale --brewhouse garage"},
        {"plan --month 2026-03"},
        {"plan --calendar FOLDER/new.ics"},
        {"plan pale --brewhouse garage --into FV2", {{"till", "--till 2026-04-20"}}},
        {"plan P1"},
        {"plan P1 --into FV2"},
        {"plan P1 --move 2026-03-25"},
        {"plan P1 --cancel \"no time\""},
        {"tank list"},
        {"tank add FV9 20L"},
        {"tank fill FV2 B3"},
        {"tank empty FV1"},
        {"tank clean FV2"},
        {"tank use FV2 repair"},
        {"tank change FV1 --volume 35L"},
        {"substitute P1"},
        {"substitute P1 --take 1"},
        {"substitute P1 --show 1"},
        {"substitute P1 --model FOLDER/new.lp"},
        {"substitute P1 --model FOLDER/there.lp", {}, "force"},
        {"brew", {{"recipe", "--recipe pale --brewhouse garage"}}},
        {"brew P2"},
        {"brew P1", {}, "as-reserved"},
        {"brew P2 --sheet"},
        {"brew --recipe pale --brewhouse garage"},
        {"brew --recipe pale --brewhouse garage --sheet"},
        {"brew --recipe pale --brewhouse garage --add A=4kg"},
        {"brew B1"},
        {"brew B1 --add H=40g@dry"},
        {"brew B2 --abandon \"the pump burst\""},
        {"measure B1"},
        {"measure B1 cast-out 22L 1.045@20C"},
        {"measure B1 --set-aside r1 --reason \"misread by 2 L\""},
        {"measure B1 --correct r1 27L@95C"},
        {"measure B1 fermenting 1.012@20C"},
        {"package"},
        {"package B1"},
        {"package B1 20 bottles 0.5L", {{"from", "--from cafe"}}},
        {"package B1 20 bottles 0.5L --prime SU --gas 5g/L", {{"prime", "--prime SU=30g"}}},
        {"package B1-1"},
        {"package B1-1 all --from cafe"},
        {"package B3 1 keg 19L --to \"the inn\""},
        {"reconcile B1"},
        {"reconcile --all"},
        {"explain B1"},
        {"trend"},
        {"statement"},
        {"statement --month 2026-03"},
        {"statement 2026-02"},
        {"statement --from 2026-03-02"},
        {"statement --from 2026-03-02 --journal"},
        {"report"},
        {"report brew B1"},
        {"report lot A"},
        {"report brewhouse"},
        {"report stock"},
        {"report order O1"},
        {"report statement", {{"NAME", "2026-03"}}},
        {"report calendar", {{"NAME", "2026-05"}}},
        {"report purchase"},
        {"report substitute P1", {{"NAME", "P3"}}},
        {"report brew-sheet P2"},
        {"report count-sheet"},
        {"report labels", {{"NAME", "A"}}},
        {"report plan P1"},
        {"report trace A"},
        {"report --all --out FOLDER/pages"},
        {"report stock --out FOLDER/new.html"},
        {"report stock --out FOLDER/there.json", {}, "force"},
        {"trace A"},
        {"trace 77 --hold recalled"},
        {"trace B1"},
        {"trace B1-1"},
        {"history"},
        {"history 3"},
        {"reverse 33"},
        {"convert 1.048 --to plato"},
        {"convert 1.048 --read-at 35C --to sg"},
        {"convert 1.048 --final 1.010 --to abv"},
        {"convert 30L --at 95C --to 20C"},
        {"convert 30L --gravity 12P --to extract"},
        {"convert 30L --gravity 12P --add 5L --to plato"},
        {"convert 81.5% --basis fine-dry --moisture 4.2% --to l-per-kg"},
        {"convert 30g --alpha 10% --boil 60min --volume 20L --gravity 1.048 --to ibu"},
        {"convert 10% --days 100days --to alpha"},
        {"convert 40cm --dip 0cm=0L,50cm=25L --to L"},
        {"convert 6EBC --to srm"},
        {"convert 1.030..1.050/0.010 --table --to plato"},
        {"import FOLDER/more.json"},
        {"import FOLDER/brews.csv --brews"},
        {"import FOLDER/log.csv --readings"},
        {"import FOLDER/nothing.csv --readings"},
        {"export"},
        {"export --rows lots"},
        {"export FOLDER/new.json"},
        {"export FOLDER/there.json", {}, "force"},
        {"verify"},
        {"serve"},
        {"backup FOLDER/new.lotwort"},
        {"backup FOLDER/there.lotwort", {}, "replace"},
    };
    return ways;
}

namespace {

using Values = std::map<std::string_view, std::string_view>;

// What an option is given, whatever the verb; then what a verb gives it.
const Values& usual_values() {
    static const Values values{
        {"about", "lauter"},
        {"add-alcohol", "4%"},
        {"add-gravity", "4P"},
        {"alcohol", "4%"},
        {"alpha-sd", "1%"},
        {"arrives", "2026-03-27"},
        {"alpha", "9%"},
        {"altitude", "900m"},
        {"analysed", "2026-02-02"},
        {"at", "07:45"},
        {"attenuation", "70%"},
        {"best-before", "2028-01-01"},
        {"boil", "75min"},
        {"brewhouse", "shed"},
        {"budget", "20"},
        {"buffer", "3days"},
        {"by", "Hanna"},
        {"certificate", "FOLDER/paper.toml"},
        {"class", "wheat"},
        {"closed", "sunday"},
        {"colour", "9EBC"},
        {"columns", "lot=amount"},
        {"crop", "2024"},
        {"currency", "GBP"},
        {"days", "50days"},
        {"delivery", "12.50"},
        {"difference", "2%"},
        {"dilute-to", "8P"},
        {"dip", "0cm=0L,60cm=25L"},
        {"drop", "\"bittering hop\""},
        {"efficiency", "70%@fermenter"},
        {"final", "1.012"},
        {"found-gravity", "10P"},
        {"found", "34L"},
        {"free-from", "300"},
        {"gravity", "14P"},
        {"group", "earthy"},
        {"hop", "\"bittering hop=9g@boil,20\""},
        {"holding", "50%"},
        {"horizon", "3days"},
        {"hsi-then", "0.35"},
        {"hsi", "0.35"},
        {"instrument", "stem"},
        {"into", "B1"},
        {"item", "\"lager malt\""},
        {"last", "1"},
        {"lead", "6days"},
        {"lost", "50%"},
        {"lot", "NEW-1"},
        {"map", "temperature=Warmth"},
        {"mash", "2"},
        {"month", "2026-03"},
        {"malt", "\"lager malt=3kg\""},
        {"mash-rest", "62C"},
        {"max-share", "55%"},
        {"minimum", "80"},
        {"moisture-sd", "0.3%"},
        {"moisture", "6%"},
        {"note", "\"a good lot\""},
        {"oil", "1.3"},
        {"on", "2026-03-10"},
        {"order", "O1"},
        {"other", "\"candy sugar=100g@kettle\""},
        {"out", "FOLDER/out.html"},
        {"packaging", "vacuum"},
        {"packed", "2026-02-01"},
        {"packs", "2"},
        {"pitch", "1.1"},
        {"tank-days", "21days"},
        {"harvest-days", "9days"},
        {"freight", "12.50"},
        {"discount", "3"},
        {"share", "mass"},
        {"silo", "S1"},
        {"till", "2026-04-20"},
        {"yeast-from", "B1"},
        {"placed", "2026-03-13"},
        {"price", "99.99"},
        {"protein", "11%"},
        {"read-at", "40C"},
        {"reason", "\"dropped\""},
        {"run", "2"},
        {"service", "60%"},
        {"set", "run=2"},
        {"shelf-life", "90days"},
        {"stand", "20min@80C"},
        {"stands-for", "\"lager malt\""},
        {"stem", "15C"},
        {"storage", "4C"},
        {"supplier-lot", "X-9"},
        {"supplier", "Lowland"},
        {"tolerance", "2%"},
        {"until", "2026-03-16"},
        {"valid-until", "2026-06-01"},
        {"volume", "22L"},
        {"within", "0.004"},
        {"grain", "5C"},
        {"wk", "260"},
        {"wort-factor", "1.06"},
        {"known", "10%"},
        {"read", "1.0402"},
    };
    return values;
}

const Values& values_of_verbs() {
    static const Values values{
        {"brew abandon", "\"the pump burst\""},
        {"brew add", "L=1kg"},
        {"brew pin", "A3"},
        {"brew recipe", "pale"},
        {"brew used", "A=1kg"},
        {"brew correct", "A=3.8kg"},
        {"brew weighed", "A=3.9kg"},
        {"serve listen", "192.0.2.7:8018"},
        {"brewhouse absorption", "1.2L/kg"},
        {"brewhouse absorption-level-sd", "0.05L/kg"},
        {"brewhouse absorption-sd", "0.1L/kg"},
        {"brewhouse altitude", "900m"},
        {"brewhouse batch-sparges", "2"},
        {"brewhouse bias-sd", "0.003"},
        {"brewhouse boil-off", "4L/h"},
        {"brewhouse boil-off-level-sd", "0.2L/h"},
        {"brewhouse boil-off-sd", "0.5L/h"},
        {"brewhouse brews-per-day", "2"},
        {"brewhouse works-in", "metric"},
        {"brewhouse calibration", "15C"},
        {"brewhouse conversion", "88%"},
        {"brewhouse conversion-level-sd", "1%"},
        {"brewhouse conversion-sd", "3%"},
        {"brewhouse correction", "0.001"},
        {"brewhouse crumb", "300g"},
        {"brewhouse file", "FOLDER/kit.toml"},
        {"brewhouse gravity-by", "stem"},
        {"brewhouse hop-absorption", "7L/kg"},
        {"brewhouse hop-step", "2g"},
        {"brewhouse kettle-loss", "1.8L"},
        {"brewhouse kettle-loss-level-sd", "0.2L"},
        {"brewhouse kettle-loss-sd", "0.4L"},
        {"brewhouse kind", "density-meter"},
        {"brewhouse lauter", "97%"},
        {"brewhouse lauter-level-sd", "1%"},
        {"brewhouse lauter-sd", "3%"},
        {"brewhouse mash-ratio", "2.6L/kg"},
        {"brewhouse point", "fermenter"},
        {"brewhouse repeatability", "0.001"},
        {"brewhouse resolution", "0.002"},
        {"brewhouse sparge", "continuous"},
        {"brewhouse tun-loss", "2L"},
        {"brewhouse unit", "plato"},
        {"brewhouse wall-expansion", "0.0002"},
        {"brewhouse wash-stages", "3"},
        {"brewhouse weigh-step", "50g"},
        {"buy instead", "\"hillside/pale ale malt\""},
        {"buy limit", "20s"},
        {"buy model", "FOLDER/out.mps"},
        {"buy without", "\"crystal malt\""},
        {"convert add", "5L"},
        {"convert alpha", "8%"},
        {"convert at", "60C"},
        {"convert basis", "coarse-dry"},
        {"convert from", "sg-air"},
        {"convert limit", "0.5"},
        {"convert moisture", "5%"},
        {"convert to", "brix"},
        {"count from", "FOLDER/counted.csv"},
        {"export rows", "stock"},
        {"history brew", "B1"},
        {"history from", "2026-03-10"},
        {"history kind", "brew"},
        {"history lot", "H"},
        {"history to", "2026-03-02"},
        {"import columns", "stage=Part"},
        {"item cells", "90billion/pack"},
        {"item cells-loss", "15%"},
        {"item kind", "hop"},
        {"lot as", "NEW-1"},
        {"lot merge", "A2"},
        {"lot split", "2kg"},
        {"measure before", "r2"},
        {"measure correct", "r2"},
        {"measure set-aside", "r2"},
        {"offer from", "10=29"},
        {"package from", "cafe"},
        {"package gas", "5g/L"},
        {"package lost", "0.5L"},
        {"package prime", "SU=30g"},
        {"package to", "inn"},
        {"package warmest", "18C"},
        {"order drop", "\"lager malt\""},
        {"order line", "\"lager malt=2x25kg@41\""},
        {"plan calendar", "FOLDER/out.ics"},
        {"plan cancel", "\"no time\""},
        {"plan into", "FV1"},
        {"plan move", "2026-03-26"},
        {"plan on", "2026-03-28"},
        {"plan pin", "A3"},
        {"receive cells", "1.3billion/mL"},
        {"receive delivery", "FOLDER/note.csv"},
        {"receive from-brew", "B2"},
        {"receive kind", "other"},
        {"receive no-more", "\"sold out\""},
        {"statement from", "2026-02-10"},
        {"statement to", "2026-03-04"},
        {"substitute kind", "smaller"},
        {"substitute limit", "20s"},
        {"substitute model", "FOLDER/out.lp"},
        {"substitute show", "1"},
        {"substitute take", "1"},
        {"trace hold", "recalled"},
        {"recipe yeast", "\"ale yeast\""},
        {"verify seal", "0123456789abcdef"},
    };
    return values;
}

} // namespace

std::string words_of_option(const Way& way, const cli::Option& option) {
    const std::string name(option.name);
    if (const auto own = way.instead.find(name); own != way.instead.end()) return own->second;
    if (option.value.empty()) return "--" + name;
    if (name == "units") return "--units us";
    if (name == "ledger") return "--ledger FOLDER/other.lotwort";
    if (name == "extract") return "--extract 79% --basis coarse-dry";
    if (name == "extract-sd") return "--extract-sd 0.4%";
    if (name == "dip" && way.verb() == "brewhouse") return "--dip 0cm=0L --dip 40cm=24L";
    if (name == "volume-by") return "--volume-by scale";
    if (name == "basis" && way.verb() != "convert") return "--basis coarse-dry";
    const std::string of_verb = way.verb() + " " + name;
    for (const auto& [values, key] : {std::pair(&values_of_verbs(), of_verb), std::pair(&usual_values(), name)})
        if (const auto found = values->find(key); found != values->end())
            return "--" + name + "=" + std::string(found->second);
    throw std::runtime_error("no value for --" + name + " of " + way.line);
}

std::string word_of_positional(const Way& way, const cli::Positional& positional) {
    static const Values words{
        {"ITEM", "\"pale ale malt\""},
        {"AMOUNT", "5kg"},
        {"NAME", "garage"},
        {"VOLUME", "30L"},
        {"ACTION", "show"},
        {"SUPPLIER", "Hillside"},
        {"PACK", "25kg"},
        {"PRICE", "31"},
        {"LOT", "A"},
        {"RECIPE", "pale"},
        {"PLAN", "P3"},
        {"CODE", "B1"},
        {"COUNT", "3"},
        {"READING", "fermenter 21L"},
        {"BREW", "B1"},
        {"WHAT", "stock"},
        {"ENTRY", "3"},
        {"TANK", "FV1"},
        {"FILE", "FOLDER/out.json"},
        {"MONTH", "2026-03"},
    };
    if (const auto own = way.instead.find(positional.name); own != way.instead.end()) return own->second;
    const auto found = words.find(positional.name);
    if (found == words.end())
        throw std::runtime_error("no word for " + std::string(positional.name) + " of " + way.line);
    return std::string(found->second);
}

const std::vector<std::string>& own_words() {
    static const std::vector<std::string> words{
        "certificate",         // of a malt's figure for a hop, and of a lot's paper that is never changed
        "states no mash rest", // so there is no strike for --grain
        "is not on hold",
        "holds are for lots",
        "no brew has begun",
        "there is no open plan `",
        "is not planned there",
        "nothing is said to be gone",
        "A2 is named twice",
        "H is bittering hop, and A2 is pale ale malt",
        "--final has no part in turning 1.048 into abv", // it is --attenuation that counts
        "`abv` is nothing to convert to",                // of a beer whose alcohol is known
        "30L does not turn into extract",                // nor does a blend
        "30L to plato: the gravity is not said",         // a beer's own
        "--days has no part in turning 10% into alpha",  // the index outranks the calendar
        "has no column `Warmth`",
        "text behind a closing quote",
    };
    return words;
}

const std::vector<Idle>& rightly_idle() {
    static constexpr std::string_view permits =
                                          "it permits what would be refused without it, and here nothing would be",
                                      bounds = "a search that is done before its limit is not cut short",
                                      same_orders = "the plan is drawn up by it, and here the same is to be ordered",
                                      taken = "it is the offer that the plan takes already",
                                      same_rows = "it is of that day, and the rows are the same on both days",
                                      stands = "it stands for rows that there might be";
    static const std::vector<Idle> list{
        {"buy --model FOLDER/new.mps", "force", permits},
        {"substitute P1 --model FOLDER/new.lp", "force", permits},
        {"report stock --out FOLDER/new.html", "force", permits},
        {"report --all --out FOLDER/pages", "force", permits},
        {"report substitute P1", "NAME", "P2 lacks nothing"},
        {"plan --calendar FOLDER/new.ics", "force", permits},
        {"export FOLDER/new.json", "force", permits},
        {"backup FOLDER/new.lotwort", "replace", permits},
        {"brew P2", "as-reserved", permits},
        {"brew --recipe pale --brewhouse garage", "as-reserved", permits},
        {"substitute P1", "allow-past-best", permits},
        {"substitute P1 --take 1", "allow-past-best", permits},
        {"substitute P1 --show 1", "allow-past-best", permits},
        {"substitute P1 --model FOLDER/new.lp", "allow-past-best", permits},
        {"order", "all", "each order there is open"},
        {"order list", "all", "each order there is open"},
        {"init", "yes", "where nobody sits at a terminal nothing is asked"},
        {"brew", "full", "there are fewer brews than the first screen holds"},
        {"reconcile --all", "full", "there are fewer brews than the first screen holds"},
        {"item kinds", "ledger", "the units that its house works in, the same in both"},
        {"buy", "limit", bounds},
        {"buy --list", "limit", bounds},
        {"buy --order", "limit", bounds},
        {"substitute P1", "limit", bounds},
        {"substitute P1 --take 1", "limit", bounds},
        {"substitute P1 --show 1", "limit", bounds},
        {"buy", "service", same_orders},
        {"buy", "holding", same_orders},
        {"buy", "allow-substitutes", same_orders},
        {"buy --order", "allow-substitutes", same_orders},
        {"buy --list", "service", same_orders},
        {"buy --list", "until", same_orders},
        {"buy --order", "holding", same_orders},
        {"buy", "instead", taken},
        {"buy --list", "instead", taken},
        {"buy --order", "instead", taken},
        {"buy --model FOLDER/new.mps", "instead", taken},
        {"buy --list", "holding", same_orders},
        {"buy --list", "allow-substitutes", same_orders},
        {"buy --order", "allow-substitutes", same_orders},
        {"stock \"wheat malt\" --lots", "on", same_rows},
        {"lot A", "on", same_rows},
        {"lot H", "on", same_rows},
        {"count --sheet", "on", same_rows},
        {"count A 12kg", "tolerance", "a difference within it would need no reason, and there is none"},
        {"count --from FOLDER/counted.csv --tolerance 10%", "reason", stands},
        {"import FOLDER/nothing.csv --readings", "set", stands},
        {"import FOLDER/nothing.csv --readings", "by", stands},
        {"import FOLDER/nothing.csv --readings", "note", stands},
        {"import FOLDER/nothing.csv --readings", "dry-run", stands},
        {"import FOLDER/nothing.csv --readings", "ledger", stands},
    };
    return list;
}

} // namespace lotwort::test

#include "html_page.hpp"
#include "html_text.hpp"
#include "links.hpp"
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/report/palette.hpp>

namespace lotwort::report::html {

namespace {

std::string colours(std::string_view Colour::*shade) {
    std::string text;
    for (const Colour& colour : palette()) text += fmt::format("--{}:{};", colour.name, colour.*shade);
    return text;
}

// Charts are drawn 360 units wide and fill their card. Letters are told in those units: 12.5 of them are 11 pixels on a
// telephone of 360, and in a wide card there are fewer to a letter, so that they do not shout. The cards about them
// stand in two columns where there is room, each filled from the top, so that a short card leaves no hole beside a long
// one. A table that goes on beyond its box has a shade at that edge.
constexpr std::string_view layout = R"(
*{box-sizing:border-box}
html{--ground:var(--paper);background:var(--paper);color:var(--ink);font:1rem/1.45 system-ui,sans-serif;-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:76rem;padding:1rem;overflow-wrap:break-word}
header{border-bottom:3px double var(--copper);margin-bottom:1rem}
h1{font-size:1.6rem;line-height:1.2;margin:0 0 .3rem}
h2{font-size:1.15rem;margin:1.6rem 0 .6rem;color:var(--copper)}
p{margin:.3rem 0;max-width:44rem}
header p,caption,.note,footer{color:var(--faint)}
footer{border-top:1px solid var(--rule);margin-top:2rem;padding-top:.5rem;font-size:.85rem}
.paper{display:none}
.lead{font-size:1.1rem}
a{color:var(--copper)}
nav{font-size:.85rem;margin-bottom:.4rem}
nav a{margin-right:.6rem;white-space:nowrap}
input{font:inherit;color:inherit;background:var(--card);border:1px solid var(--faint);padding:.4rem .6rem;width:100%;max-width:30rem}
.charts{columns:22rem 2;column-gap:1rem;margin:.8rem 0 -.2rem}
.charts.one{columns:auto;max-width:34rem}
figure{margin:0 0 1rem;padding:.7rem;background:var(--card);border:1px solid var(--rule);break-inside:avoid;container-type:inline-size;--ground:var(--card)}
figcaption{font-weight:600;margin-bottom:.4rem}
svg{display:block;width:100%;height:auto}
svg *{vector-effect:non-scaling-stroke}
.note{font-size:.85rem;margin:.4rem 0}
summary{cursor:pointer;font-size:.85rem;color:var(--copper)}
.wide{overflow-x:auto;max-width:100%;background:linear-gradient(90deg,var(--ground) 1rem,transparent 2rem) local,linear-gradient(270deg,var(--ground) 1rem,transparent 2rem) local,linear-gradient(90deg,var(--rule),transparent .8rem),linear-gradient(270deg,var(--rule),transparent .8rem)}
.wide+.wide{margin-top:1rem}
.charts .wide{break-inside:avoid}
.whole{white-space:nowrap}
table{border-collapse:collapse;font-size:.85rem;font-variant-numeric:tabular-nums}
caption{text-align:left;padding:.3rem 0}
th,td{text-align:left;vertical-align:top;padding:.2rem .9rem .2rem 0;border-bottom:1px solid var(--rule);font-weight:400;white-space:nowrap}
thead th{white-space:normal;vertical-align:bottom}
figure th,figure td{padding-right:.55rem;font-size:.8rem}
th:last-child,td:last-child,figure th:last-child,figure td:last-child{padding-right:0}
.long{white-space:normal;min-width:14rem}
.words{white-space:normal;min-width:9rem}
figure .words{min-width:6.5rem}
thead th{font-weight:600;border-bottom-color:var(--faint)}
.number{text-align:right}
@media (max-width:30rem){body{padding:.6rem}figure{padding:.5rem}th,td{padding-right:.55rem}.words{min-width:6.5rem}.long{min-width:11rem}}
:focus-visible{outline:2px solid var(--copper);outline-offset:2px}
svg text{font:13px system-ui,sans-serif;fill:var(--ink);stroke:var(--card);stroke-width:3px;paint-order:stroke}
svg .small{font-size:12.5px;fill:var(--faint)}
svg .faint{fill:var(--faint)}
@container (min-width:26rem){svg text{font-size:11px}svg .small{font-size:10px}}
@container (min-width:32rem){svg text{font-size:9.5px}svg .small{font-size:8.5px}}
svg .strong{font-weight:700}
svg .odd{fill:var(--alert)}
.hit{fill:transparent;stroke:none}
.hit:hover{fill:var(--rule);fill-opacity:.35}
.arrow{fill:var(--bine);stroke:none}
.answer{stroke-width:4}
.stem{stroke:var(--rule);stroke-width:5;fill:none}
.out{stroke:var(--alert);stroke-width:1.5;fill:none}
.axis{stroke:var(--faint);fill:none}
.grid{stroke:var(--rule);fill:none}
.line{stroke:var(--bine);stroke-width:2;fill:none}
.edge{stroke:var(--bine);stroke-width:1;fill:none}
.band{fill:var(--wash);stroke:none}
.stream{fill:var(--wash);stroke:var(--bine)}
.loss{fill:var(--waste);stroke:var(--copper)}
.point{fill:var(--card);stroke:var(--bine);stroke-width:2}
.lot{stroke:var(--faint);stroke-width:1.5;fill:none}
.single{stroke:var(--copper);stroke-width:1.2;fill:none}
.second{stroke:var(--liquor)}
.third{stroke:var(--dusk)}
.line.second,.edge.second{stroke-dasharray:7 3}
.line.third,.edge.third{stroke-dasharray:2 3}
.drift{stroke:var(--alert);stroke-width:1.5;stroke-dasharray:5 3;fill:none}
.reference{stroke:var(--copper);stroke-dasharray:2 3;fill:none}
.alert{stroke:var(--alert);stroke-width:2}
.blank{border-bottom:1px solid var(--ink);display:inline-block;min-width:5rem}
.box{border:1.5px solid var(--ink);display:inline-block;width:.9rem;height:.9rem;vertical-align:-.1rem}
.sheet{display:flex;flex-direction:column;min-height:100vh}
.sheet main{flex:1;display:flex;flex-direction:column}
.sheet .wide table{width:100%;min-width:36rem;table-layout:fixed}
.sheet .letter table{width:auto;min-width:0;table-layout:auto}
.whole>.blank{min-width:3.1rem}
.sheet th,.sheet td{white-space:normal;overflow-wrap:anywhere}
.read th:nth-child(1){width:15%}.read th:nth-child(2){width:26%}.read th:nth-child(5){width:11%}
.weigh th:nth-child(1){width:19%}.weigh th:nth-child(3){width:12%}.weigh th:nth-child(4){width:15%}.weigh th:nth-child(5){width:18%}.weigh th:nth-child(6){width:11%}
.count th:nth-child(1){width:20%}.count th:nth-child(3),.count th:nth-child(4){width:14%}
.sheet .wide,.sheet .wide+.wide{margin:.4rem 0 0}
.sheet td{height:9mm;vertical-align:bottom}
.sheet td>.blank:only-child{width:100%}
.sheet .fill{display:flex;flex-wrap:wrap;gap:.4rem;align-items:flex-end;max-width:none;min-height:9mm}
.sheet .fill .blank{flex:1;min-width:3rem}
.sheet .across td{height:auto;white-space:normal;font-size:.9em;color:var(--faint)}
.sheet .note{max-width:none}
.sheet .notes{flex:1;min-height:12mm;border:1px solid var(--rule);padding:0 .4rem;margin-top:.3rem}
.labels ul{display:grid;grid-template-columns:repeat(auto-fill,minmax(17rem,1fr));list-style:none;margin:0;padding:0}
.labels li{display:flex;gap:2mm;justify-content:space-between;height:34mm;padding:2.5mm;border:1px dashed var(--rule);overflow:hidden;break-inside:avoid;line-height:1.2;font-size:.8rem}
.labels li div{min-width:0}
.labels p{margin:0 0 .5mm}
.labels .code{font-weight:700;font-size:1.25rem;overflow-wrap:anywhere}
.labels .item{font-size:.95rem;max-height:2.4em;overflow:hidden}
.qr{width:27mm;flex:none;height:auto}
.sheet.close td,.sheet.close .fill{height:7mm;min-height:7mm}
.sheet.dense td,.sheet.dense .fill{height:auto;min-height:0}
)";

// Paper is white whatever the screen was; tables that are folded on a screen are printed open, but for long ones. A
// browser that breaks a page behind a heading all the same (Firefox) is kept from it by room that belongs to the
// heading.
constexpr std::string_view print = R"(
@page{margin:12mm}
a{color:inherit;text-decoration:none}
nav,input{display:none}
html{font-size:9.5pt;background:#fff}
footer{display:none}
.paper{display:block}
h2{break-inside:avoid}
h2::after{content:"";display:block;height:7rem;margin-bottom:-7rem}
section:has(>h2+.short){break-inside:avoid}
section:has(>h2+.charts)>h2::after{height:34rem;margin-bottom:-34rem}
.lead{font-size:1rem}
p{max-width:none}
body{max-width:none;padding:0}
tr,.drawing,.short{break-inside:avoid}
h2,h2+p,caption,thead,tbody tr:first-child,tbody tr:nth-last-child(2){break-after:avoid}
h2{margin:1rem 0 .3rem}
.screen:not([open]){display:none}
.wide{overflow:visible;background:none}
summary{display:none}
details::details-content{content-visibility:visible;display:block}
.charts{columns:2}
.charts.one{columns:auto;max-width:95mm}
th,td{padding-top:.1rem;padding-bottom:.1rem}
figure th,figure td{padding-right:.35rem;font-size:.75rem}
.sheet{font-size:9.5pt;min-height:calc(100vh - 1mm)}
.sheet header{margin-bottom:0}
.sheet h1{font-size:14pt;margin:0}
.sheet p{margin:.15rem 0}
.sheet td,.sheet th{padding-top:0;padding-bottom:.1rem;line-height:1.25}
.sheet .across td,.sheet .note{font-size:8pt}
.sheet.dense{font-size:8pt}
.labels header{display:none}
.labels ul{grid-template-columns:repeat(3,1fr)}
)";

// Between two marks of a page of ours.
std::string between(std::string_view page, std::string_view first, std::string_view last) {
    const auto begins = page.find(first);
    LOTWORT_CHECK(begins != std::string_view::npos);
    const auto from = begins + first.size(), to = page.find(last, from);
    LOTWORT_CHECK(to != std::string_view::npos);
    return std::string(page.substr(from, to - from));
}

} // namespace

std::string style_sheet() {
    return fmt::format(":root{{color-scheme:light dark;{}}}\n"
                       "@media (prefers-color-scheme:dark){{:root{{{}}}}}\n"
                       "{}@media print{{:root{{color-scheme:light;{}--paper:#fff}}{}}}\n",
                       colours(&Colour::light), colours(&Colour::dark), layout, colours(&Colour::light), print);
}

std::string main_of(std::string_view page) {
    return between(page, "<main>", "</main>");
}

std::string class_of(std::string_view page) {
    constexpr std::string_view begins = "<body class=\"";
    const auto at = page.find(begins);
    if (at == std::string_view::npos) return "";
    page.remove_prefix(at + begins.size());
    return std::string(page.substr(0, page.find('"')));
}

std::string title_of(std::string_view page) {
    return between(page, "<h1>", "</h1>");
}

namespace {

// Rows that do not hold all words typed are hidden, headings without rows too, and what is folded opens.
constexpr std::string_view search = R"js((() => {
const box = document.createElement('input');
box.type = 'search';
box.placeholder = 'find a brew, a lot, a recipe';
box.setAttribute('aria-label', 'find a brew, a lot, a recipe');
document.querySelector('main').prepend(box);
const rows = [...document.querySelectorAll('tbody tr')].map(row => [row, row.textContent.toLowerCase()]);
const parts = [...document.querySelectorAll('section, details, .wide')];
box.addEventListener('input', () => {
const words = box.value.toLowerCase().split(' ').filter(word => word);
rows.forEach(([row, text]) => { row.hidden = !words.every(word => text.includes(word)); });
parts.forEach(part => { part.hidden = words.length > 0 ? !part.querySelector('tbody tr:not([hidden])') : false; });
document.querySelectorAll('details').forEach(part => { part.open = words.length > 0; });
});
})())js";
// What a browser lets run: that text and no other.
constexpr std::string_view search_hash = "sha256-3R6YaslTr7epXA160/1UBGDFOQtBF1PbXztGoB4eYu8=";

std::string class_of(const Page& page) {
    if (!page.for_paper) return "";
    if (page.is_labels) return "class=\"labels\"";
    return page.rows == Rows::wide    ? "class=\"sheet\""
           : page.rows == Rows::close ? "class=\"sheet close\""
                                      : "class=\"sheet dense\"";
}

} // namespace

std::string whole(const Page& page) {
    std::string head = "<meta charset=\"utf-8\"/>\n"
                       "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n";
    head += fmt::format("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
                        "'unsafe-inline'{}\"/>\n",
                        page.is_searched ? fmt::format("; script-src '{}'", search_hash) : "");
    head += of_text("title", page.title) + element("style", style_sheet());
    // said at the foot of a screen and at the head of paper, where a foot may come to stand on a page of its own
    constexpr std::string_view about = "Written by lotwort. Figures after ± are one standard deviation.";
    const std::string header = menu() + of_text("h1", page.title) + paragraphs(page.under) +
                               (page.for_paper ? "" : of_text("p", about, "class=\"paper\""));
    std::string body = element("header", header) + element("main", page.body);
    if (!page.for_paper) body += of_text("footer", about);
    if (page.is_searched) body += element("script", search);
    return "<!DOCTYPE html>\n" + element("html", element("head", head) + element("body", body, class_of(page)),
                                         "lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\"");
}

} // namespace lotwort::report::html

// How pages look, and the little that a script does for them. Without it all of them work.
#include "page.hpp"

namespace lotwort::serve {

namespace {

// Targets are 44 pixels high and more: wet fingers, gloves. What is typed is never smaller than 16 pixels, or a
// telephone would move the page under the thumb.
constexpr std::string_view style = R"(
.skip{position:absolute;left:-99rem}
.skip:focus{position:static}
a{color:var(--copper)}
nav{margin:-.4rem -.4rem .6rem}
nav ul{display:flex;flex-wrap:wrap;gap:.1rem;list-style:none;margin:0;padding:0;white-space:nowrap}
nav a{display:block;padding:.6rem .55rem;min-height:44px;color:var(--ink);text-decoration:none}
nav a[aria-current]{border-bottom:3px solid var(--copper);font-weight:600}
.todo{list-style:none;padding:0;margin:0}
.todo li{background:var(--card);border:1px solid var(--rule);border-left:4px solid var(--copper);padding:.6rem .8rem;margin:0 0 .5rem;display:flex;flex-wrap:wrap;gap:.4rem 1rem;align-items:center;justify-content:space-between;--ground:var(--card)}
.todo li.fine{border-left-color:var(--bine)}
.card{background:var(--card);border:1px solid var(--rule);padding:.8rem;margin:0 0 .8rem;--ground:var(--card)}
.card h3{margin:0 0 .3rem;font-size:1.05rem}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,22rem),1fr));gap:.8rem;align-items:start}
.cards .card{margin:0}
.answer{border:1px solid var(--bine);border-left-width:6px;background:var(--wash);padding:.6rem .8rem;margin:0 0 1rem}
.answer.no{border-color:var(--alert);background:var(--waste)}
.answer h2{margin:0 0 .3rem;color:var(--ink)}
pre{white-space:pre-wrap;overflow-wrap:anywhere;font:.9rem/1.4 ui-monospace,monospace;margin:.4rem 0}
pre.table{white-space:pre;overflow-x:auto;overflow-wrap:normal;--ground:var(--wash);background:linear-gradient(90deg,var(--ground) 1rem,transparent 2rem) local,linear-gradient(270deg,var(--ground) 1rem,transparent 2rem) local,linear-gradient(90deg,var(--rule),transparent .8rem),linear-gradient(270deg,var(--rule),transparent .8rem)}
.no pre.table{--ground:var(--waste)}
form{margin:0}
fieldset{border:1px solid var(--rule);padding:.4rem .7rem .6rem;margin:.7rem 0;min-width:0}
legend{font-weight:600;padding:0 .3rem}
.row{display:flex;flex-wrap:wrap;gap:.2rem .9rem;align-items:end}
.field{margin:.35rem 0;max-width:34rem;flex:1 1 16rem}
.field.short{flex:0 1 9.5rem}
.field label{display:block;font-size:.9rem}
.field small{display:block;color:var(--faint);font-size:.85rem}
.entry{display:flex;align-items:center;gap:.4rem}
.unit{white-space:nowrap;color:var(--faint)}
input,select,textarea,button{font:inherit;font-size:1.05rem;color:var(--ink);background:var(--paper);border:1px solid var(--faint);padding:.5rem .6rem;min-height:46px;max-width:100%}
input:not([type=checkbox]),textarea,select{width:100%;min-width:0}
input::placeholder{color:var(--faint);opacity:1}
.figure{max-width:9rem;font-variant-numeric:tabular-nums}
.check{display:flex;align-items:center;gap:.6rem;min-height:46px;flex:1 1 100%}
.check input{width:1.6rem;height:1.6rem;min-height:0;flex:none}
button{cursor:pointer;font-weight:600;background:var(--card);min-height:48px;padding:.5rem 1rem}
button.main{background:var(--copper);border-color:var(--copper);color:var(--paper)}
.buttons{display:flex;flex-wrap:wrap;gap:.6rem;margin:.6rem 0 .2rem}
.go{display:inline-flex;align-items:center;min-height:46px;padding:.3rem .9rem;border:1px solid var(--copper);text-decoration:none;font-weight:600;background:var(--card);margin:.2rem 0}
summary{padding:.75rem 0;font-size:1rem;min-height:44px}
.row>details{flex:1 1 100%}
.expected{color:var(--faint);font-size:.95rem}
.done{color:var(--bine);font-weight:600}
.missing{color:var(--alert);font-weight:600}
.big{font-size:1.5rem;font-weight:600;line-height:1.2}
.who{display:flex;gap:.4rem}
#news{position:sticky;bottom:0;background:var(--wash);border:1px solid var(--bine);color:var(--ink);padding:.6rem .8rem;font-size:1rem}
section>.qr{width:15rem;height:auto}
.labels a{color:inherit;text-decoration:none}
dl{display:grid;grid-template-columns:auto 1fr;gap:.15rem 1rem;margin:.4rem 0}
dt{color:var(--faint)}
dd{margin:0}
.touched td{vertical-align:middle}
.touched th[scope=row] a{display:flex;align-items:center;min-height:44px}
input[type=file]{width:100%}
.row .row{flex:1 1 100%}
#forecast{padding:.5rem .8rem;margin:0}
#forecast dl{display:grid;grid-template-columns:repeat(2,1fr);gap:.1rem 1rem;margin:0;font-size:.85rem}
#forecast dl>div{display:flex;justify-content:space-between;gap:.4rem}
#forecast dd{font-weight:600;font-variant-numeric:tabular-nums;text-align:right}
#forecast p{margin:0}
.row .row .field{flex-basis:12rem}
.row .row .short{flex-basis:8.4rem}
.wide-left{display:flex;flex-direction:column-reverse;gap:.8rem}
@media (min-width:60rem){.two{display:grid;grid-template-columns:1fr 1fr;gap:0 1.6rem;align-items:start}
.two.wide-left{grid-template-columns:3fr 1fr}
.wide-left>div:last-child{position:sticky;top:.5rem}
#forecast dl{grid-template-columns:1fr;font-size:1rem}}
@media print{nav,form,#news,.skip,.who{display:none}}
)";

// Asks now and then whether somebody else has booked, and says so. The page stays as it is until it is loaded anew,
// so that nothing that was typed is lost.
constexpr std::string_view script = R"js("use strict";
(() => {
  const news = document.getElementById("news");
  const newest = Number(document.body.dataset.newest);
  let told = newest;
  const look = async () => {
    if (document.hidden || !news) return;
    try {
      const answer = await fetch("/changes?since=" + newest, {cache: "no-store"});
      if (!answer.ok) return;
      const now = await answer.json();
      if (now.newest <= told) return;
      told = now.newest;
      news.textContent = "Booked meanwhile: " + now.said.join("; ") + ". ";
      const again = document.createElement("a");
      again.href = location.pathname + location.search;
      again.textContent = "Show it";
      news.append(again);
      news.hidden = false;
    } catch { /* the cellar has no reception: ask again later */ }
  };
  if (news && newest > 0) setInterval(look, 5000);
  // The forecast of a recipe follows what is typed: the words of its form go to the same verb, which books nothing.
  const form = document.querySelector("form[data-forecast]");
  const value = (name) => (form.elements[name] ? form.elements[name].value.trim() : "");
  const composed = (pattern) => {
    const fill = (text) => {
      let whole = true;
      const word = text.replace(/\{([^}|]*)\|?([^}]*)\}/g, (all, name, unit) => {
        const typed = value(name);
        if (typed === "") whole = false;
        return /^[0-9.,]+$/.test(typed) ? typed + unit : typed;
      });
      return whole ? word : null;
    };
    return fill(pattern.replace(/\[([^\]]*)\]/g, (all, inner) => fill(inner) ?? ""));
  };
  const words = () => {
    const own = ["token", "form", "seen", "back", "of"], said = {"dry-run": true, "json": true};
    const add = (name, word) => { (said[name] ??= []).push(word); };
    for (const field of form.elements) {
      if (field.name.startsWith("~")) {
        const word = composed(field.value);
        if (word !== null) add(field.name.slice(1), word);
      } else if (field.name.endsWith("!")) {
        if (field.type === "hidden") said[field.name.slice(0, -1)] = true;
      } else if (field.name !== "" && !field.name.startsWith(".") && !own.includes(field.name) && value(field.name) !== "") {
        said[field.name] = value(field.name);
      }
    }
    return said;
  };
  const show = (forecast, said) => {
    for (const dd of document.querySelectorAll("#forecast dd")) {
      const figure = forecast && forecast[dd.dataset.figure], digits = Number(dd.dataset.decimals);
      dd.textContent = figure ? figure.value.toFixed(digits) + " ± " + figure.sd.toFixed(digits) + " " + dd.dataset.unit : "–";
    }
    document.getElementById("forecast-said").textContent = said;
  };
  let asked = 0, waits = 0;
  const forecast = async () => {
    const mine = ++asked;
    try {
      const answer = await fetch("/v1/recipe", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify(words())});
      const came = await answer.json();
      if (mine !== asked) return;
      if (came.forecasts) show(came.forecasts[0], "on " + came.forecasts[0].brewhouse);
      else show(null, came.error ? came.error.message : "");
    } catch { /* the button asks */ }
  };
  if (form) form.addEventListener("input", () => { clearTimeout(waits); waits = setTimeout(forecast, 400); });
  document.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (!button) return;
    setTimeout(() => { button.disabled = true; button.textContent = "Sending ..."; }, 0);
    setTimeout(() => { button.disabled = false; button.textContent = "Send again: it books once"; }, 8000);
  });
})();
)js";

} // namespace

std::string style_of_pages() {
    return html::style_sheet() + std::string(style);
}

std::string script_of_pages() {
    return std::string(script);
}

} // namespace lotwort::serve

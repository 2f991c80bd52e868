// What is looked for on every page, and where its picture goes.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

namespace lotwort::test {

// The letters of a chart are boxes that must not touch; a page's own width is the window's.
inline constexpr const char* measure = R"js((() => {
  const seen = [];
  for (const svg of document.querySelectorAll('svg')) {
    const box = svg.getBoundingClientRect();
    if (box.width < 100 || box.height < 40) seen.push('a chart of ' + box.width + ' x ' + box.height);
    const card = svg.closest('.drawing');
    if (card && box.width < card.clientWidth - 1) seen.push('a chart of ' + box.width + ' in a card of ' + card.clientWidth);
    if (innerWidth < 400)
      for (const t of svg.querySelectorAll('text')) {
        const px = parseFloat(getComputedStyle(t).fontSize) * box.width / svg.viewBox.baseVal.width;
        if (px < 11) seen.push('letters of ' + px + ' px: ' + t.textContent);
      }
    const texts = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
    for (let i = 0; i < texts.length; ++i) {
      const [a, ra] = texts[i];
      if (ra.left < box.left - 0.5 || ra.right > box.right + 0.5 || ra.top < box.top - 0.5 || ra.bottom > box.bottom + 0.5)
        seen.push('cut off: ' + a);
      for (let j = i + 1; j < texts.length; ++j) {
        const [b, rb] = texts[j];
        if (ra.left < rb.right - 0.5 && rb.left < ra.right - 0.5 && ra.top < rb.bottom - 2 && rb.top < ra.bottom - 2)
          seen.push('"' + a + '" upon "' + b + '"');
      }
    }
  }
  const boxOf = e => { // of a heading its words alone: on paper it has room below that holds it to what follows
    if (e.tagName != 'H2') return e.getBoundingClientRect();
    const words = document.createRange();
    words.selectNodeContents(e);
    return words.getBoundingClientRect();
  };
  const blocks = [...document.querySelectorAll('h1,h2,p,figcaption,summary,figure,.wide,li')]
    .filter(e => e.checkVisibility()).map(e => [e, boxOf(e)]);
  for (let i = 0; i < blocks.length; ++i)
    for (let j = i + 1; j < blocks.length; ++j) {
      const [a, ra] = blocks[i], [b, rb] = blocks[j];
      if (a.contains(b) || b.contains(a)) continue;
      if (ra.left < rb.right - 1 && rb.left < ra.right - 1 && ra.top < rb.bottom - 1 && rb.top < ra.bottom - 1)
        seen.push(a.tagName + ' upon ' + b.tagName + ': ' + a.textContent.slice(0, 30) + ' / ' + b.textContent.slice(0, 30));
    }
  for (const word of document.querySelectorAll('.whole'))
    if (word.checkVisibility() && word.getClientRects().length > 1) seen.push('broken: ' + word.textContent);
  if (innerWidth >= 1000)
    for (const box of document.querySelectorAll('.wide'))
      if (box.scrollWidth > box.clientWidth + 1)
        seen.push('a table goes on beyond its box: ' + box.getAttribute('aria-label'));
  const page = document.documentElement;
  if (page.scrollWidth > page.clientWidth) seen.push('the page is ' + page.scrollWidth + ' wide in ' + page.clientWidth);
  return seen;
})())js";

inline void keep_picture(const std::string& name, const std::string& bytes) {
    const char* folder = std::getenv("LOTWORT_PICTURES");
    if (folder == nullptr || *folder == '\0') return;
    std::filesystem::create_directories(folder);
    std::ofstream(std::filesystem::path(folder) / name, std::ios::binary) << bytes;
}

} // namespace lotwort::test

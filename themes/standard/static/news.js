/* While a meet runs, an open page asks its own host for a newer publication and shows it in place:
   where one was reading, sorting and typing stays. A folder on a stick asks nobody. */
(() => {
  "use strict";

  const said = document.querySelector("[data-news]");
  if (!said || !location.protocol.startsWith("http")) return;
  const { news, one, more } = said.dataset;
  let shown = document.querySelector("main").innerHTML;
  let last;
  let goesOn = true;

  /* Never "unchanged since": many hosts know when a file was written to the second only. */
  async function asked(address) {
    const answer = await fetch(address, { cache: "reload" });
    return answer.ok ? answer.text() : Promise.reject();
  }

  /* What has the same words in the same row is the same on both pages. */
  const name = (it) => [it.tagName, it.closest("[id]")?.id, it.textContent].join();
  const found = (kind, named) => [...document.querySelectorAll(kind)].find((it) => name(it) === named);
  const top = (it) => it.getBoundingClientRect().top;

  async function exchange(page) {
    const row = [...document.querySelectorAll("main [id]")].find((it) => top(it) > 0);
    const was = row && top(row);
    const focus = document.activeElement;
    const held = name(focus);
    const open = [...document.querySelectorAll("details[open] > summary")].map(name);
    for (const part of ["main", "footer", ".ways", ".more", ".status"]) {
      const fresh = page.querySelector(part);
      if (fresh) document.querySelector(part)?.replaceWith(fresh);
    }
    const waits = [];
    dispatchEvent(new CustomEvent("renewed", { detail: waits }));
    await Promise.all(waits);
    for (const each of open) found("summary", each)?.parentNode.setAttribute("open", "");
    if (!focus.isConnected) found("main, a, button, select, summary", held)?.focus({ preventScroll: true });
    const there = row && document.getElementById(row.id);
    if (there) scrollBy({ top: top(there) - was, behavior: "instant" });
  }

  async function look() {
    const now = JSON.parse(await asked(news));
    if (last?.publication === now.publication) return;
    const page = new DOMParser().parseFromString(await asked(location.href), "text/html");
    const fresh = page.querySelector("main").innerHTML;
    if (last || fresh !== shown) await exchange(page);
    shown = fresh;
    goesOn = page.querySelector("[data-news]");
    const many = last ? now.marks_in_all - last.marks_in_all : 0;
    if (many > 0) said.textContent = many === 1 ? one : more.replace("{n}", many);
    last = now;
  }

  async function goOn() {
    if (!document.hidden) await look().catch(() => {});
    if (goesOn) setTimeout(goOn, 20000);
  }

  goOn();
})();

/* Turns from panel to panel, a long one page by page, and takes each new publication in. */

(() => {
  "use strict";

  const { seconds, news, number } = document.body.dataset;
  const main = document.querySelector("main");
  let panels = [], at = -1, next = 0, turns = 0, known = number, timer = 0, asking = false;

  /* Shows the rows from one on, as many as are whole; gives the first of the next page, or 0. */
  function fit(panel, from) {
    const rows = [...panel.querySelectorAll("li")], list = panel.querySelector("ol");
    rows.forEach((row, n) => { row.hidden = n < from; });
    const all = rows.length - from;
    let end = rows.length;
    const down = (to) => { while (end > to) rows[end -= 1].hidden = true; };
    while (end > from + 1 && list.scrollHeight > list.clientHeight) down(end - 1);
    /* Pages of a list are about equally full. */
    down(from + Math.ceil(all / Math.ceil(all / (end - from))));
    return end < rows.length ? end : 0;
  }

  function turn(step = 1) {
    if (!panels.length) return;
    clearTimeout(timer);
    if (!next || step < 0) {
      at = (at + step + panels.length) % panels.length;
      next = 0;
    }
    panels.forEach((panel, n) => panel.classList.toggle("now", n === at));
    next = fit(panels[at], next);
    /* A little elsewhere each time, so that nothing burns in. */
    turns += 1;
    main.style.translate = `${(turns * 3) % 11 - 5}px ${(turns * 5) % 11 - 5}px`;
    timer = setTimeout(turn, seconds * 1000);
  }

  function begin(first) {
    panels = [...main.querySelectorAll(".panel")];
    at = Math.max(0, panels.findIndex((panel) => panel.classList.contains(first))) - 1;
    next = 0;
    turn();
  }

  async function ask() {
    if (asking) return;
    asking = true;
    try {
      const held = await (await fetch(news, { cache: "reload" })).json();
      if (String(held.publication) !== known) {
        const page = await (await fetch(location.href, { cache: "reload" })).text();
        const found = new DOMParser().parseFromString(page, "text/html");
        known = found.body.dataset.number;
        main.replaceChildren(...found.querySelector("main").childNodes);
        begin("came");
      }
    } catch { /* The network of a hall comes and goes: what stands there stands. */ }
    asking = false;
  }

  addEventListener("keydown", ({ key }) => {
    if (key === "ArrowRight") turn();
    else if (key === "ArrowLeft") turn(-1);
    else if (key !== " ") return;
    else if (timer) timer = clearTimeout(timer);
    else turn();
  });
  addEventListener("resize", () => { next = 0; turn(0); });
  document.fonts.ready.then(() => begin(""));
  if (location.protocol.startsWith("http")) setInterval(ask, 20000);
})();

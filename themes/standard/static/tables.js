/* Lists that can be sorted and narrowed. Without this every page is whole, in the official order;
   nothing is remembered when the page is left. A list of several pages is made whole when it is
   first sorted or narrowed: its other rows come as a script that tells them, so that a folder on a
   stick works as a website does. */
(() => {
  "use strict";

  const FIGURE = /^\s*([-−+]?)(\d+(?:[.,]\d+)?)/;
  const FIGURES = ["place", "mark", "total", "number"];
  const HIGHEST_FIRST = ["mark", "total"];
  const collator = new Intl.Collator(document.documentElement.lang, { numeric: true });

  /* What a cell is sorted by: a figure, what it says itself, or its first words; null: nothing. */
  function worth(cell, kind) {
    const text = cell.textContent;
    if (FIGURES.includes(kind)) {
      const found = FIGURE.exec(text);
      if (!found) return null;
      const figure = Number(found[2].replace(",", "."));
      return found[1] === "-" || found[1] === "−" ? -figure : figure;
    }
    if (cell.dataset.by) return cell.dataset.by;
    const first = cell.querySelector("a, b") || cell;
    return first.textContent.trim() || null;
  }

  /* A team and its gymnasts stay together; every other row stands alone. */
  function groupsOf(body) {
    const groups = [];
    for (const row of body.rows) {
      if (row.classList.contains("member") && groups.length) groups.at(-1).push(row);
      else groups.push([row]);
    }
    return groups;
  }

  /* What is missing stands last, either way; equals keep the official order. */
  function sorted(groups, column, kind, down) {
    const valued = groups.map((rows) => [worth(rows[0].cells[column], kind), rows]);
    valued.sort(([one], [other]) => {
      if (one === null || other === null) return (one === null) - (other === null);
      const order = typeof one === "number" ? one - other : collator.compare(one, other);
      return down ? -order : order;
    });
    return valued.map(([, rows]) => rows);
  }

  let whole, others, notes, here, asked, states;

  /* What stands on each page of the list, as [its sections, its notes]. */
  function told() {
    asked = asked || new Promise((answer, fail) => {
      addEventListener("rows", (event) => answer(event.detail), { once: true });
      const script = document.createElement("script");
      script.src = whole.dataset.rows;
      script.addEventListener("error", fail);
      document.head.append(script);
    });
    return asked;
  }

  /* What was told of another page, with its links as they lead from this one. */
  function built(markup) {
    const made = document.createElement("template");
    made.innerHTML = markup;
    for (const link of made.content.querySelectorAll("a[href]")) {
      link.setAttribute("href", whole.dataset.root + link.getAttribute("href"));
    }
    return [...made.content.children];
  }

  /* A row whose address was given away may stand on another page of the list by now. */
  async function seek() {
    const id = location.hash.slice(1);
    if (!whole || !id || document.getElementById(id)) return;
    const pages = await told().catch(() => []);
    const number = pages.findIndex(([sections]) => sections.includes(` id="${id}"`));
    const links = document.querySelectorAll(".page-parts.all a");
    if (number >= 0) location.replace(links[number].href + location.hash);
  }

  /* Gives what tells how the list is sorted and narrowed now; so it was told of the list before. */
  function enhance(list, before, waits) {
    const own = [...list.querySelectorAll("table")];
    const added = [];
    let tables = own;
    let bodies = null;
    let parts = null;
    let official = null;
    let gathering = null;
    let missing = false;
    const tools = list.querySelector(".tools");
    tools.append(tools.querySelector("template").content.cloneNode(true));
    const status = tools.querySelector("[role=status]");
    const back = tools.querySelector("button");
    const choices = [...tools.querySelectorAll("select")];
    let order = null;
    let chosen = null;

    /* The rows as they were published; read when they are first moved. */
    function read() {
      if (parts) return;
      bodies = tables.map((table) => table.tBodies[0]);
      parts = bodies.map(groupsOf);
      order = official = parts.flat();
    }

    /* All rows of a list of several pages; or what there is, if they do not come. */
    function gathered() {
      if (!whole) return null;
      if (!gathering) {
        status.textContent = whole.dataset.coming;
        gathering = gather().catch(() => { missing = true; });
      }
      return gathering;
    }

    /* One page after the other, so that this one answers meanwhile. */
    async function gather() {
      const first = own[0].closest(".scroll");
      const firstNote = notes.firstElementChild;
      const noted = new Set([...notes.children].map((one) => one.textContent));
      const pages = await told();
      for (const [number, [sections, sentences]] of pages.entries()) {
        if (number === here) continue;
        const rows = built(sections);
        const texts = built(sentences).filter((one) => !noted.has(one.textContent));
        if (number < here) first.before(...rows);
        else list.append(...rows);
        for (const one of texts) {
          notes.insertBefore(one, number < here ? firstNote : null);
          noted.add(one.textContent);
        }
        for (const one of rows) headed(one.querySelector("table"));
        added.push(...rows, ...texts);
        await new Promise((then) => setTimeout(then));
      }
      tables = [...list.querySelectorAll("table")];
    }

    /* In the official order each page has its own rows; in any other they are all here. */
    function spread(all) {
      for (const one of added) one.hidden = !all;
      for (const one of others) one.hidden = all;
      notes.hidden = !notes.querySelector("li:not([hidden])");
    }

    async function narrow() {
      await gathered();
      arrange();
    }

    /* The rows that are shown fill the sections from the first one on. */
    function arrange() {
      read();
      const wanted = choices.map((choice) => choice.value);
      const fits = ([row]) => {
        const filed = (row.dataset.filed || "").split(" ");
        return wanted.every((value, number) => !value || filed[number] === value);
      };
      const shown = order.filter(fits);
      const hidden = order.filter((rows) => !fits(rows));
      for (const rows of shown) for (const row of rows) row.hidden = false;
      for (const rows of hidden) for (const row of rows) row.hidden = true;
      const all = [...shown, ...hidden];
      let begin = 0;
      bodies.forEach((body, number) => {
        const end = begin + parts[number].length;
        body.append(...all.slice(begin, end).flat());
        tables[number].closest(".scroll").hidden = number > 0 && begin >= shown.length;
        begin = end;
      });
      if (added.length) spread(chosen || shown.length < official.length);
      tell(shown.length);
    }

    function tell(shown) {
      const words = status.dataset;
      const said = [];
      if (chosen) {
        const sentence = chosen.down ? words.down : words.up;
        said.push(sentence.replace("{column}", chosen.words));
      }
      if (shown < official.length) {
        const counted = words.shown.replace("{all}", official.length);
        said.push(counted.replace("{shown}", shown));
      }
      if (missing && said.length) said.push(whole.dataset.missing);
      status.textContent = said.join(" ") || words.official;
      back.hidden = !said.length;
    }

    async function sort(column, head) {
      await gathered();
      read();
      const kind = head.classList[0];
      const first = HIGHEST_FIRST.includes(kind);
      const again = chosen && chosen.column === column;
      if (again && chosen.down !== first) return restore();
      const label = head.querySelector(".long") || head;
      chosen = { column, down: again ? !first : first, words: label.textContent.trim() };
      order = sorted(official, column, kind, chosen.down);
      mark();
      arrange();
    }

    function mark() {
      for (const table of tables) {
        [...table.tHead.rows[0].cells].forEach((head, column) => {
          if (!chosen || chosen.column !== column) head.removeAttribute("aria-sort");
          else head.setAttribute("aria-sort", chosen.down ? "descending" : "ascending");
        });
      }
    }

    function restore() {
      read();
      chosen = null;
      order = official;
      mark();
      arrange();
    }

    function headed(table) {
      [...table.tHead.rows[0].cells].forEach((head, column) => {
        const button = document.createElement("button");
        button.type = "button";
        button.append(...head.childNodes);
        button.addEventListener("click", async () => {
          await sort(column, head);
          if (added.length) tables[0].tHead.rows[0].cells[column].querySelector("button").focus();
        });
        head.append(button);
      });
    }

    /* The first section at once, the others when the browser has time. */
    function headedFrom(number) {
      if (number >= own.length) return;
      headed(own[number]);
      setTimeout(headedFrom, number ? 30 : 300, number + 1);
    }

    headedFrom(0);
    for (const choice of choices) choice.addEventListener("change", narrow);
    back.addEventListener("click", () => {
      for (const choice of choices) choice.value = "";
      restore();
      (choices[0] || list.querySelector("th button")).focus();
    });
    waits.push(again(before?.()));
    return () => [chosen, choices.map((choice) => choice.value)];

    /* As the list before was, when another publication took its place. */
    async function again([sorting, values] = [null, []]) {
      if (!sorting && !values.some(Boolean)) return;
      choices.forEach((choice, number) => { choice.value = values[number] || ""; });
      await narrow();
      const head = sorting && own[0].tHead.rows[0].cells[sorting.column];
      if (!head) return;
      await sort(sorting.column, head);
      if (chosen.down !== sorting.down) await sort(sorting.column, head);
    }
  }

  /* All lists of the page; again, when another publication took its place. */
  function begin({ detail: waits = [] }) {
    for (const here of document.querySelectorAll(":is(.ways, .thread, .chapters) [aria-current]")) {
      const strip = here.closest(".strip");
      strip.scrollLeft = here.offsetLeft + (here.offsetWidth - strip.clientWidth) / 2;
    }
    whole = document.querySelector(".whole");
    others = document.querySelectorAll(".page-parts, .range");
    notes = document.querySelector(".notes");
    here = whole && Number(whole.dataset.here);
    asked = null;
    const before = states || [];
    states = [...document.querySelectorAll(".list")].map((list, at) => enhance(list, before[at], waits));
  }

  begin({});
  addEventListener("renewed", begin);
  addEventListener("hashchange", seek);
  seek();
})();

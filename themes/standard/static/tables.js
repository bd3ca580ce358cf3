/* Lists that can be sorted and narrowed. Without this every page is whole, in the official order;
   nothing is remembered when the page is left. */
(() => {
  "use strict";

  const FIGURE = /^\s*([-−+]?)(\d+(?:[.,]\d+)?)/;
  const FIGURES = ["place", "mark", "total", "number"];
  const HIGHEST_FIRST = ["mark", "total"];
  const collator = new Intl.Collator(document.documentElement.lang, { numeric: true });

  /* What a cell is sorted by: a figure, or its first words; null where there is neither. */
  function worth(cell, kind) {
    const text = cell.textContent;
    if (FIGURES.includes(kind)) {
      const found = FIGURE.exec(text);
      if (!found) return null;
      const figure = Number(found[2].replace(",", "."));
      return found[1] === "-" || found[1] === "−" ? -figure : figure;
    }
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

  function enhance(list) {
    const tables = [...list.querySelectorAll("table")];
    const bodies = tables.map((table) => table.tBodies[0]);
    let parts = null;
    let official = null;
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
      parts = bodies.map(groupsOf);
      order = official = parts.flat();
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
      tell(shown.length);
    }

    function tell(shown) {
      const words = status.dataset;
      const told = [];
      if (chosen) {
        const sentence = chosen.down ? words.down : words.up;
        told.push(sentence.replace("{column}", chosen.words));
      }
      if (shown < official.length) {
        const counted = words.shown.replace("{all}", official.length);
        told.push(counted.replace("{shown}", shown));
      }
      status.textContent = told.join(" ") || words.official;
      back.hidden = !told.length;
    }

    function sort(column, head) {
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
        button.addEventListener("click", () => sort(column, head));
        head.append(button);
      });
    }

    /* The first section at once, the others when the browser has time. */
    function headedFrom(number) {
      if (number >= tables.length) return;
      headed(tables[number]);
      setTimeout(headedFrom, number ? 30 : 300, number + 1);
    }

    headedFrom(0);
    for (const choice of choices) choice.addEventListener("change", arrange);
    back.addEventListener("click", () => {
      for (const choice of choices) choice.value = "";
      restore();
      (choices[0] || list.querySelector("th button")).focus();
    });
  }

  document.querySelectorAll(".list").forEach(enhance);
})();

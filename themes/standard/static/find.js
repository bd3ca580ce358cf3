/* A gymnast, a club, a bib, a list or a page is found from any page. The names come with the first focus, as a
   script that tells them, so that a folder on a stick works as a website does. */
(() => {
  "use strict";

  const SHOWN = 8;
  const SPELT = { ø: "o", æ: "ae", œ: "oe", ß: "ss", ł: "l", đ: "d", ð: "d", þ: "th", ı: "i" };

  const box = document.querySelector(".find");
  if (!box) return;
  box.append(box.querySelector("template").content.cloneNode(true));
  const field = box.querySelector("input");
  const list = box.querySelector("ul");
  const status = box.querySelector("[role=status]");
  let names = null;
  let pieces = null;
  let turns = {};
  let asked = false;
  let found = [];
  let active = -1;

  /* Without accents and without case, as people type. */
  function folded(text) {
    const plain = text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
    return plain.replace(/[øæœßłđðþı]/g, (letter) => SPELT[letter]);
  }

  function wordsOf(text) {
    return folded(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean);
  }

  function ask() {
    if (asked) return;
    asked = true;
    const scripts = [box.dataset.names];
    if ("turns" in box.dataset) scripts.push(`${box.dataset.root}static/turns.js?${Date.now()}`);
    scripts.forEach(fetched);
  }

  function fetched(source) {
    const script = document.createElement("script");
    script.src = source;
    document.head.append(script);
  }

  /* Of many names come those that begin as a word that is looked for: pieces by first letters, as
     website/season_names.py tells them. Whether all are there, or asked for by now. */
  function come(wanted) {
    if (!pieces) return true;
    return wanted.every((word) => {
      const near = Object.keys(pieces).filter((key) => word.startsWith(key) || key.startsWith(word));
      const asks = near.filter((key) => word.startsWith(key) || near.length <= 3);
      for (const key of asks.filter((one) => pieces[one])) {
        fetched(box.dataset.names.replace(/\.js$/, `.${pieces[key]}.js`));
        pieces[key] = "";
      }
      return asks.length || !near.length;
    });
  }

  /* As website/scripts.py tells them; Latin letters only where others spell the name. */
  function prepare({ clubs = [], gymnasts = [], pages }) {
    const ofClubs = clubs.map(([file, name, latin = ""]) => ({
      to: `clubs/${file}.html`, name, sub: box.dataset.club, own: wordsOf(`${name} ${latin}`), other: [],
    }));
    const ofGymnasts = gymnasts.map(([file, name, begin, end, bib, club, latin = ""]) => {
      const [, of = "", spelt = ""] = clubs[club] ?? [];
      return {
        to: `gymnasts/${file}.html`, file, name, given: [begin, end], sub: [bib, of].filter(Boolean).join(" · "),
        own: wordsOf(`${name} ${latin} ${bib}`), other: wordsOf(`${of} ${spelt}`),
      };
    });
    const ofPages = pages.map(([to, name, sub, latin = ""]) => (
      { to, name, sub, own: wordsOf(`${name} ${latin}`), other: wordsOf(sub) }
    ));
    return [...ofClubs, ...ofGymnasts, ...ofPages];
  }

  /* 0: the name begins so, 1: it or the bib holds it, 2: the club does; 3: not at all. */
  function rank(one, wanted) {
    const begins = (words, word) => words.some((own) => own.startsWith(word));
    if (wanted.every((word) => begins(one.own, word))) {
      return one.own[0]?.startsWith(wanted[0]) || one.own.at(-1) === wanted[0] ? 0 : 1;
    }
    const both = [...one.own, ...one.other];
    return wanted.every((word) => begins(both, word)) ? 2 : 3;
  }

  function look() {
    const wanted = wordsOf(field.value);
    if (!names || !wanted.length) return close();
    const whole = come(wanted);
    const ranked = names.map((one) => [rank(one, wanted), one]).filter(([how]) => how < 3);
    ranked.sort(([one], [other]) => one - other);
    found = ranked.slice(0, SHOWN).map(([, one]) => one);
    list.replaceChildren(...found.map(option));
    show(-1);
    list.hidden = !found.length;
    field.setAttribute("aria-expanded", String(!list.hidden));
    const { none, count, more } = status.dataset;
    status.textContent = ranked.length ? count.replace("{n}", ranked.length) : whole ? none : more;
    status.classList.toggle("unseen", ranked.length > 0);
  }

  /* The family name stands out from the given one. */
  function named({ name, given: [begin, end] = [0, 0] }) {
    const given = document.createElement("i");
    given.textContent = name.slice(begin, end);
    return [name.slice(0, begin), given, name.slice(end)];
  }

  function option(one, number) {
    const item = document.createElement("li");
    const below = document.createElement("small");
    item.id = `found-${number}`;
    item.setAttribute("role", "option");
    item.append(...named(one), " ", below);
    below.textContent = one.sub;
    if (turns[one.file]) {
      const turn = document.createElement("small");
      turn.textContent = turns[one.file];
      item.append(" ", turn);
    }
    item.addEventListener("mousedown", (pressed) => pressed.preventDefault());
    item.addEventListener("click", () => go(number));
    return item;
  }

  function show(number) {
    active = number;
    [...list.children].forEach((item, at) => {
      item.setAttribute("aria-selected", String(at === number));
    });
    if (number < 0) return field.removeAttribute("aria-activedescendant");
    field.setAttribute("aria-activedescendant", `found-${number}`);
    list.children[number].scrollIntoView({ block: "nearest" });
  }

  function close() {
    found = [];
    list.hidden = true;
    list.replaceChildren();
    status.textContent = "";
    status.classList.add("unseen");
    field.setAttribute("aria-expanded", "false");
    show(-1);
  }

  function go(number) {
    if (found[number]) location.href = box.dataset.root + found[number].to;
  }

  const KEYS = {
    ArrowDown: () => (found.length ? show((active + 1) % found.length) : look()),
    ArrowUp: () => found.length && show((active < 1 ? found.length : active) - 1),
    Enter: () => go(Math.max(active, 0)),
    Escape: () => {
      if (list.hidden && status.classList.contains("unseen")) field.value = "";
      close();
    },
  };

  addEventListener("names", (told) => {
    if (told.detail.piece) {
      const known = new Set(names.map((one) => one.to));
      names.push(...prepare(told.detail).filter((one) => !known.has(one.to)));
    } else {
      names = prepare(told.detail);
      pieces = told.detail.pieces;
    }
    look();
  });
  addEventListener("renewed", () => {
    asked = false;
  });
  addEventListener("turns", (told) => {
    turns = told.detail;
    look();
  });
  field.addEventListener("focus", ask);
  field.addEventListener("input", look);
  field.addEventListener("blur", close);
  field.addEventListener("keydown", (pressed) => {
    const does = KEYS[pressed.key];
    if (!does || pressed.isComposing) return;
    pressed.preventDefault();
    does();
  });
})();

// Reloads the page when a build changed something, and shows what is to mend.
"use strict";

let first;

new EventSource("/-watch/news").addEventListener("message", (event) => {
  const { build, problems } = JSON.parse(event.data);
  show(problems);
  if (first === undefined) first = build;
  if (build !== first) location.reload();
});

function show(problems) {
  document.getElementById("to-mend")?.remove();
  if (problems.length === 0) return;
  const panel = document.createElement("section");
  panel.id = "to-mend";
  panel.setAttribute("role", "alert");
  const head = document.createElement("h2");
  head.textContent = `${problems.length} to mend; until then what it touches stays as it was`;
  const list = document.createElement("ul");
  list.append(...problems.map(line));
  panel.append(head, list);
  document.body.append(panel);
}

function line(text) {
  const one = document.createElement("li");
  one.textContent = text;
  return one;
}

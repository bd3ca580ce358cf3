"""Random small meets in every form of input, and where their marks are shown: what stands
otherwise than it was written is told.
"""

from __future__ import annotations

import csv
import random
from collections.abc import Iterable, Iterator
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from openpyxl import Workbook

from resultsgen.data.tables import EXPORTS
from resultsgen.data.whole import results_text, whole
from resultsgen.scoring.results import Results
from resultsgen.views.lists.chapters import all_results
from resultsgen.views.lists.lists import list_views
from resultsgen.views.lists.sections import BookSubject
from resultsgen.views.lists.table import Row, Table
from resultsgen.views.people.clubs import club_views
from resultsgen.views.people.gymnasts import gymnast_views
from resultsgen.views.site.addresses import gymnast_target
from resultsgen.views.words.wording import Wording

WOMEN = ("VT", "UB", "BB", "FX")


class Given(NamedTuple):
    """One routine as the meet folder has it, empty where it says nothing."""

    competition: str
    bib: str
    apparatus: str
    vault: str
    mark: str
    d: str = ""
    e: str = ""
    penalty: str = ""
    status: str = ""

    @property
    def shown(self) -> str:
        """The mark, or the status in its place."""
        return self.mark or self.status


def written(folder: Path, dice: random.Random) -> set[Given]:
    """A meet of two competitions with guests, specialists, second vaults, statuses, in any form."""
    wide = dice.random() < 0.3
    bibs = [str(bib) for bib in dice.sample(range(1, 400), dice.randint(2, 9))]
    entered = {bib: _entered(dice) for bib in bibs}
    truth: set[Given] = set()
    for id in ("q", "f"):
        for bib in bibs:
            for apparatus in entered[bib]:
                truth.update(_routines(dice, id, bib, apparatus, wide=wide))
    for name, rows in (("roster", _roster(dice, entered)), ("marks", _marks(dice, truth, wide))):
        _write(folder, name, rows, dice)
    settings = 'title = "Cup"\nadding_up = "note"\n' + _files(folder)
    settings += "".join(_competition(dice, id, bibs, entered) for id in ("q", "f"))
    (folder / "meet.toml").write_text(settings, "utf-8")
    return truth


def _entered(dice: random.Random) -> tuple[str, ...]:
    some = dice.random() < 0.4
    return tuple(part for part in WOMEN if not some or dice.random() < 0.5) or ("VT",)


def _routines(
    dice: random.Random, id: str, bib: str, apparatus: str, *, wide: bool
) -> Iterable[Given]:
    """What somebody did on one apparatus: a mark with or without parts, a status, or nothing."""
    for vault in ("1", "2") if apparatus == "VT" and dice.random() < 0.4 else ("1",):
        chance = dice.random()
        if chance < 0.1:
            continue
        if chance < 0.2:
            status = dice.choice(["DNS", "DNF", "DSQ", "WDR"])
            yield Given(id, bib, apparatus, vault, "", status=status)
            continue
        d, e, penalty = (dice.randrange(0, 70) * 100, dice.randrange(0, 10_001),
                         dice.choice([0, 0, 100, 300]))  # fmt: skip
        mark = max(d + e - penalty, 0)
        if wide or dice.random() < 0.3:
            yield Given(id, bib, apparatus, vault, _text(mark))
        else:
            taken = _text(penalty) if penalty else ""
            yield Given(id, bib, apparatus, vault, _text(mark), _text(d), _text(e), taken)


def _text(mark: int) -> str:
    return f"{mark // 1000}.{mark % 1000:03}"


def _roster(dice: random.Random, entered: dict[str, tuple[str, ...]]) -> list[list[str]]:
    """Some in no club, some in no team, some guests; the entries of who does not do all."""
    rows = [["bib", "family_name", "club", "team", "guest", "publish", "entered"]]
    for number, (bib, parts) in enumerate(entered.items()):
        some = [""] if number else []
        rows.append(
            [bib, f"X{bib}", dice.choice([*some, "North", "South"]), dice.choice([*some, "A", "B"]),
             dice.choice(["", "", "yes"]) if number else "", dice.choice(["", "", "no"]),
             "" if parts == WOMEN and dice.random() < 0.5 else " ".join(parts)]
        )  # fmt: skip
    return rows


def _marks(dice: random.Random, truth: set[Given], wide: bool) -> list[list[str]]:
    if not wide:
        rows = [[*one] for one in sorted(truth)]
        dice.shuffle(rows)
        return [list(Given._fields), *rows]
    parts = ["VT", "VT2", "UB", "BB", "FX"]
    cells: dict[tuple[str, str], dict[str, str]] = {}
    for one in truth:
        part = one.apparatus + ("2" if one.vault == "2" else "")
        cells.setdefault((one.competition, one.bib), {})[part] = one.shown
    dice.shuffle(parts)
    rows = [[id, bib, *(row.get(part, "") for part in parts)] for (id, bib), row in cells.items()]
    return [["competition", "bib", *parts], *rows]


def _write(folder: Path, name: str, rows: list[list[str]], dice: random.Random) -> None:
    """As a workbook with numbers, or as CSV with one sign or another, and decimal commas."""
    if dice.random() < 0.2:
        book = Workbook()
        for row in rows:
            book.active.append([_number(cell) if name == "marks" else cell for cell in row])
        book.save(folder / f"{name}.xlsx")
        return
    sign, comma = dice.choice([(",", "."), (";", ","), ("\t", ","), (";", ".")])
    text = StringIO()
    made = csv.writer(text, delimiter=sign, lineterminator=dice.choice(["\n", "\r\n"]))
    made.writerows([cell.replace(".", comma) for cell in row] for row in rows)
    (folder / f"{name}.csv").write_text(text.getvalue(), dice.choice(["utf-8", "utf-8-sig"]))


def _number(cell: str) -> float | str:
    return float(cell) if "." in cell else cell


def _files(folder: Path) -> str:
    names = {path.stem: path.name for path in folder.iterdir() if path.stem in ("roster", "marks")}
    told = "".join(f'{stem} = "{name}"\n' for stem, name in sorted(names.items()))
    return f"[files]\n{told}"


def _competition(
    dice: random.Random, id: str, bibs: list[str], entered: dict[str, tuple[str, ...]]
) -> str:
    """Any lists; in the final those start who are entered, as people named them by apparatus."""
    ranks = [one for one in ("all-around", "apparatus", "team") if dice.random() < 0.5]
    text = f'[[competition]]\nid = "{id}"\ntitle = "{id}"\ndiscipline = "women"\n'
    text += f"ranks = {ranks or ['all-around']}\nvaults = {dice.choice([1, 2])}\n"
    text += 'missing_scores = "share"\n'
    if "team" in ranks:
        by = dice.choice(["club", "team"])
        text += f'team = {{ format = "9-9-{dice.randint(1, 3)}", by = "{by}" }}\n'
    if id == "f" and dice.random() < 0.5:
        on = {part: [bib for bib in bibs if part in entered[bib]] for part in WOMEN}
        text += "".join(f"starters.{part} = {on[part]}\n" for part in WOMEN)
    return text


# Where they are shown


def differences(results: Results, truth: set[Given]) -> list[str]:
    """What of the marks is missing or stands otherwise: in CSV, JSON, on pages, in the book."""
    begun = {one.competition for one in truth if one.mark}
    in_book = {one for one in truth if one.competition in begun}
    return [
        *_against("routines.csv", set(_csv(results)), truth),
        *_against("results.json", set(_json(results)), truth),
        *_missing("the pages of gymnasts", _of_gymnasts(results), truth),
        *_missing("the lists", _of_lists(results), truth),
        *_missing("the book", _of_book(results), in_book),
        *_missing_at_clubs(results, truth),
    ]


def _against(where: str, found: set[Given], truth: set[Given]) -> Iterator[str]:
    yield from (f"{where} lacks {one}" for one in sorted(truth - found))
    yield from (f"{where} has {one}" for one in sorted(found - truth))


Shown = dict[tuple[str, str], list[tuple[str, str]]]
"""By competition and bib: what each cell of a mark is headed by, and what it says."""


def _missing(where: str, shown: Shown, truth: set[Given]) -> Iterator[str]:
    """A mark that no cell has; a cell below an apparatus that has another mark."""
    own: dict[tuple[str, str], dict[str, set[str]]] = {}
    for one in truth:
        mine = own.setdefault((one.competition, one.bib), {})
        mine.setdefault(one.apparatus, set()).add(one.shown)
        if one.shown not in [text for _, text in shown.get((one.competition, one.bib), ())]:
            yield f"{where} lacks {one}"
    for who, cells in shown.items():
        for code, text in cells:
            if code in WOMEN and text not in {"", "·", *own.get(who, {}).get(code, ())}:
                yield f"{where} has {text!r} on {code} of {who}"


def _csv(results: Results) -> Iterator[Given]:
    table = next(EXPORTS["routines"](results))
    names = list(table.columns)
    for row in csv.DictReader(StringIO(table.text)):
        assert list(row) == names
        yield Given(**{name: row[name] for name in Given._fields})


def _json(results: Results) -> Iterator[Given]:
    """Every routine that stands anywhere in `results.json`, its parts with it."""
    told = whole(results)
    assert results_text(results) == results_text(results)
    bibs = {one["entry"]: one["bib"] for one in told["gymnasts"]}
    for one in told["competitions"]:
        lists = (*filter(None, [one["all_around"]]), *one["by_apparatus"])
        rows = [line for each in lists for line in each["lines"]]
        rows += [who for team in (one["team"] or {"lines": ()})["lines"] for who in team["members"]]
        for row in (*rows, *one["not_ranked"]):
            for made in filter(None, row["routines"]):
                yield Given(
                    one["id"], bibs[row["entry"]], made["apparatus"], str(made["vault"]),
                    made["mark"] or "", made["d"] or "", made["e"] or "",
                    made["penalty"] or "", made["status"],
                )  # fmt: skip


def _of_gymnasts(results: Results) -> Shown:
    bibs = {gymnast_target(one): one.bib for one in results.gymnasts.values()}
    titles = {one.competition.title: one.competition.id for one in results.competitions}
    return {
        (titles[entry.title.text], bibs[view.target]): [
            ("", cell.text) for row in entry.table.rows for cell in row.cells
        ]
        for view in gymnast_views(results, Wording())
        for entry in view.entries
    }


def _of_lists(results: Results) -> Shown:
    return _in_rows(
        results,
        (
            (one.competition.id, table)
            for one in results.competitions
            for view in list_views(one, Wording())
            if view.target.rpartition("/")[2] in (*WOMEN, "all-around", "team")
            for table in view.tables
        ),
    )


def _of_book(results: Results) -> Shown:
    sections = all_results(BookSubject(results, Wording()))
    lists = ((section.id.partition(":")[2].partition("/")[0], section) for section in sections)
    return _in_rows(results, ((id, table) for id, section in lists for table in section.tables))


def _in_rows(results: Results, tables: Iterable[tuple[str, Table]]) -> Shown:
    bibs = {gymnast_target(one): one.bib for one in results.gymnasts.values()}
    found: Shown = {}
    for id, table in tables:
        for row in table.rows:
            for bib in _bibs(row, bibs):
                cells = zip(table.columns, row.cells, strict=True)
                found.setdefault((id, bib), []).extend(
                    (column.short if column.kind == "mark" else "", cell.text)
                    for column, cell in cells
                )
    return found


def _bibs(row: Row, bibs: dict[str, str]) -> Iterator[str]:
    yield from (bibs[cell.target] for cell in row.cells if cell.target in bibs)


def _missing_at_clubs(results: Results, truth: set[Given]) -> Iterator[str]:
    clubs = {one.bib: one.club for one in results.gymnasts.values() if one.club}
    shown: dict[str, set[str]] = {}
    for view in club_views(results, Wording()):
        tables = (table for entry in view.entries for table in entry.tables)
        texts = {cell.text for table in tables for row in table.rows for cell in row.cells}
        shown[view.name] = texts
    for one in sorted(truth):
        if one.bib in clubs and one.shown not in shown[clubs[one.bib]]:
            yield f"the page of {clubs[one.bib]} lacks {one}"

"""Random meets drawn for the tests: settings, a roster, and the marks in the order they come in.

Everything that changes how a running meet is judged is drawn: rule set, grid, teams, guests,
withdrawals, statuses, sessions, cuts, finals, days, carried marks, two vaults, bounds, incidents.
A *wide* draw has more of it: up to 20 gymnasts, six apparatus, marks a thousandth apart, sessions
one after the other, bodies that some have not, criteria beside the marks, any format of teams.
"""

from __future__ import annotations

import itertools
import random
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results

PARTS = ("VT", "UB", "BB", "FX")
SIX = ("FX", "PH", "SR", "VT", "PB", "HB")
STATUSES = ("DNS", "DNF", "DSQ", "WDR")
HEAD = "competition,bib,apparatus,vault,mark,d,e,penalty,status,rotation"


@dataclass
class Drawn:
    """A meet folder but for its marks, and the rows of marks one after the other."""

    files: dict[str, str]
    rows: list[str]
    step: int = 1
    share: bool = False
    """Marks may lack D and E."""
    fell: frozenset[str] = frozenset()
    """Bibs whose routines on beam are told with a fall."""

    def write(self, folder: Path, count: int) -> Path:
        """The folder with the first so many rows."""
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in self.files.items():
            (folder / name).write_text(text, "utf-8")
        rows = "\n".join([HEAD, *self.rows[:count]])
        (folder / "marks.csv").write_text(rows + "\n", "utf-8")
        (folder / "incidents.csv").write_text("\n".join(self._incidents(count)), "utf-8")
        return folder

    def _incidents(self, count: int) -> list[str]:
        """A fall for every mark of those who fell."""
        told = ["competition,bib,apparatus,vault,incident,deduction"]
        for row in self.rows[:count]:
            id, bib, part, vault, mark, *_ = row.split(",")
            if bib in self.fell and mark:
                told.append(f"{id},{bib},{part},{vault},fall,0.300")
        return told


class Meet:
    """The meet while it is drawn."""

    def __init__(self, dice: random.Random, *, wide: bool = False) -> None:
        self.dice, self.wide = dice, wide
        self.parts, self.beside, self.up = PARTS, "", 20
        self.sessions: dict[str, str] = {}
        self.step = dice.choice((1, 25, 50, 100))
        self.rules = dice.choice(("international", "club-ten", "bonus", "world-finals-shared"))
        self.high = 10_000 if self.rules == "club-ten" else 16_000
        self.single = self.rules == "club-ten"
        self.share = dice.random() < 0.3
        self.rotations = dice.random() < 0.6
        self.bibs = [str(100 + number) for number in range(dice.randint(1, 8))]
        self.guests = {bib for bib in self.bibs if dice.random() < 0.15}
        self.clubs = {bib: dice.choice(("Lindmoor", "Hartsee", "Sieboldau")) for bib in self.bibs}
        self.final_of = "all-around"
        self.division: dict[str, str] = {}
        self.squads = {bib: dice.choice("ABC") for bib in self.bibs}
        self.entered = {
            bib: tuple(dice.sample(PARTS, 2)) if dice.random() < 0.1 else PARTS for bib in self.bibs
        }
        self.unit = max(self.step, 50)
        self.federations = dict.fromkeys(self.bibs, "")
        self.years = dict.fromkeys(self.bibs, "")
        if wide:
            self.widen()

    def widen(self) -> None:
        """More gymnasts, finer marks, more that parts them."""
        dice = self.dice
        self.step = dice.choice((1, 1, 1, 5, 10, 25, 50, 100))
        self.unit = self.step if dice.random() < 0.5 else max(self.step, 50)
        self.rules = dice.choice((self.rules, "open-ended-2006", "ten-mark-new-life"))
        self.single = self.rules in ("club-ten", "ten-mark-new-life")
        self.high = 10_000 if self.single else 16_000
        self.parts = SIX if dice.random() < 0.25 else PARTS
        self.bibs = [str(100 + number) for number in range(dice.randint(2, 20))]
        clubs = ("Lindmoor", "Hartsee", "Sieboldau", "Nordwald")[: dice.randint(1, 4)]
        likely = dice.choice((0, 0.15, 0.4))
        self.guests = {bib for bib in self.bibs if dice.random() < likely}
        self.clubs = {bib: dice.choice(clubs) for bib in self.bibs}
        self.federations = {bib: dice.choice(("KAR", "LUM", "")) for bib in self.bibs}
        self.years = {bib: str(dice.randint(2008, 2012)) for bib in self.bibs}
        self.squads = {bib: dice.choice("ABCDEF"[: len(self.parts)]) for bib in self.bibs}
        self.entered = {
            bib: tuple(dice.sample(self.parts, 2)) if dice.random() < 0.1 else self.parts
            for bib in self.bibs
        }
        self.up = dice.choice((2, 3, 4, 9, 20, 20))
        if dice.random() < 0.5:
            self.enter_no_more()
        names = ("1", "2", "3")[: dice.randint(1, 3)]
        self.sessions = {bib: dice.choice(names) for bib in self.bibs} if len(names) > 1 else {}
        self.beside = dice.choice(("", "", "younger", "all-around total"))

    def enter_no_more(self) -> None:
        """On each apparatus so many of a club are entered as may go up."""
        for part in self.parts:
            for club in set(self.clubs.values()):
                own = [
                    bib for bib in self.bibs if self.clubs[bib] == club and bib not in self.guests
                ]
                for bib in [bib for bib in own if part in self.entered[bib]][self.up :]:
                    kept = tuple(one for one in self.entered[bib] if one != part)
                    self.entered[bib] = kept or (part,)
                    if not kept:
                        self.guests.add(bib)

    def chance(self, likely: float) -> bool:
        return self.dice.random() < likely

    def mark(self) -> tuple[int, int, int]:
        """D, E and penalty on the grid, from few values so that ties occur."""
        unit = self.unit
        d = 0 if self.single else self.dice.choice((4000, 4000 + unit, 4000 + 2 * unit))
        e = self.dice.choice((8000, 8000 + unit, 8000 + 2 * unit, 9000))
        return d, e, self.dice.choice((0, 0, 0, 100))

    def row(self, id: str, bib: str, part: str, vault: str, turn: int) -> str:
        rotation = str(turn) if self.rotations else ""
        if self.chance(0.08):
            status = self.dice.choice(STATUSES)
            return f"{id},{bib},{part},{vault},,,,,{status},"
        d, e, penalty = self.mark()
        scores = f"{shown(d)},{shown(e)},{shown(penalty)}"
        if self.single or (self.share and self.chance(0.3)):
            scores = ",,"
        return f"{id},{bib},{part},{vault},{shown(d + e - penalty)},{scores},,{rotation}"


IDS = {
    "one": ["cup"],
    "final": ["quali"],
    "days": ["d1", "d2"],
    "carried": ["c1", "c2"],
    "shared": ["juniors", "seniors"],
}
"""The competitions of each shape of a meet that have marks of their own, but for a final."""


def shown(thousandths: int) -> str:
    return f"{thousandths // 1000}.{thousandths % 1000:03d}"


def drawn(dice: random.Random, folder: Path, *, wide: bool = False) -> Drawn:
    """A meet; *folder* is used to find out who starts in its finals."""
    shape = dice.choice(("one", "one", "final", "final", "days", "carried", "shared"))
    meet, ends_in_final = Meet(dice, wide=wide), shape in ("final", "carried")
    vaults = 2 if shape != "carried" and meet.chance(0.25) else 1
    shaped(meet, shape)
    ids = [id for id in IDS[shape] if shape != "shared" or id in meet.division.values()]
    settings = rules(meet, shape)
    for id in ids:
        settings += competition(meet, id, shape, vaults)
    settings += added(meet, shape, ids)
    if ends_in_final:
        settings += final(meet, ids[0], ids if shape == "carried" else [])
    files = {"meet.toml": "\n".join(settings) + "\n", "roster.csv": roster(meet, vaults)}
    made = Drawn(files, [row for id in ids for row in marks_of(meet, id, vaults)])
    if ends_in_final:
        made.rows += final_rows(meet, made, folder)
    made.step, made.share = meet.step, meet.share
    made.fell = frozenset(bib for bib in meet.bibs if meet.chance(0.2))
    return made


def shaped(meet: Meet, shape: str) -> None:
    """What a shape asks of the rules and of who is where."""
    if shape == "days":
        meet.rules, meet.single, meet.high = "two-day-combined", False, 16_000
    elif shape == "carried":
        meet.rules, meet.high, meet.single = "ten-mark-carried", 10_000, True
        meet.step = meet.step if meet.wide else 50
        meet.rotations = False
    elif shape == "final":
        meet.final_of = meet.dice.choice(("all-around", "apparatus", "team"))
        if meet.final_of == "team" and not names(meet):
            meet.final_of = "apparatus"
    elif shape == "shared":
        meet.division = {bib: meet.dice.choice(IDS[shape]) for bib in meet.bibs}
        meet.federations = {bib: one or "NOR" for bib, one in meet.federations.items()}


def added(meet: Meet, shape: str, ids: list[str]) -> list[str]:
    """A competition that has its marks from others."""
    head = ["[[competition]]", discipline(meet), f'rules = "{meet.rules}"']
    if shape == "days":
        return [*head, 'id = "sum"', 'title = "Both days"', f"days = {json_list(ids)}"]
    if shape == "shared":
        missing = "share" if meet.share else "stop"
        shared = [f"marks_of = {json_list(ids)}", f'missing_scores = "{missing}"']
        return [*head, 'id = "all"', 'title = "All ages"', *shared, *bounds(meet)]
    return []


def rules(meet: Meet, shape: str) -> list[str]:
    """What the meet changes in its rule set."""
    told = ['title = "Drawn"', f"[rules.{meet.rules}]", f"marks.step = {shown(meet.step)}"]
    if meet.chance(0.25) and shape != "carried":
        told.append('totals.incomplete = "placed by what there is"')
    if meet.chance(0.2):
        told.append('cuts.tie_on_last_place = "listed order"')
    if meet.beside:
        told += beside(meet)
    return told


def beside(meet: Meet) -> list[str]:
    """A criterion that looks at more than the marks, after or instead of the usual ones."""
    given = {
        "all-around": ["best apparatus, one fewer each time"],
        "apparatus": [] if meet.single else ["E"],
        "vault-average": ["sum of both vaults"],
    }
    told = []
    for of, before in given.items():
        last = "younger" if of == "all-around" else meet.beside
        criteria = [*(before if meet.chance(0.5) else []), last]
        told.append(f"ties.{of}.criteria = {json_list(criteria)}")
        if meet.rules == "world-finals-shared":
            told.append(f"final-ties.{of}.criteria = {json_list(criteria)}")
    return [*told, "[privacy]", "birth_year = true"]


def discipline(meet: Meet) -> str:
    return f'discipline = "{"women" if meet.parts == PARTS else "men"}"'


def competition(meet: Meet, id: str, shape: str, vaults: int) -> list[str]:
    """The settings of one competition."""
    phases = ("qualification",) if shape in ("final", "carried") else ("final", "qualification")
    phase = meet.dice.choice(phases)
    told = ["[[competition]]", f'id = "{id}"', f'title = "Title of {id}"', discipline(meet),
            *([f'divisions = ["{id}"]'] if shape == "shared" else []),
            f'phase = "{phase}"', f'rules = "{meet.rules}"', f"vaults = {vaults}",
            f'missing_scores = "{"share" if meet.share else "stop"}"']  # fmt: skip
    team_final = shape == "final" and meet.final_of == "team"
    teams = team_final or (shape != "shared" and bool(names(meet)) and meet.chance(0.6))
    kinds = ["all-around", "apparatus"]
    if shape == "one" and teams and meet.chance(0.3):
        kinds = []
    told.append(f"ranks = {json_list([*kinds, *(['team'] if teams else [])])}")
    if teams:
        format = meet.dice.choice(("9-9-2", "9-9-3", "9-8-2"))
        if meet.wide:
            format = f"20-{meet.up}-{meet.dice.randint(1, meet.up)}"
        told += ["[competition.team]", f'format = "{format}"', 'by = "club"']
        if meet.chance(0.3):
            team = meet.dice.choice(names(meet))
            told.append(f'penalties = [{{ team = "{team}", points = 0.300 }}]')
    told += bounds(meet)
    if meet.rotations and shape != "shared" and meet.chance(0.5):
        starts = zip(sorted(set(meet.squads.values())), meet.parts, strict=False)
        if meet.wide and meet.chance(0.5):
            told.append(f"circuit = {json_list([*meet.parts, 'bye'])}")
        told.append("starts = { " + ", ".join(f'{one} = "{part}"' for one, part in starts) + " }")
    for of in kinds:
        fills = id in ("quali", "c1") and of == meet.final_of
        if meet.chance(0.6) or fills:
            told += cut(meet, of, "final" if fills else "")
    if teams and (team_final or meet.chance(0.3)):
        told += cut(meet, "team", "final" if team_final else "")
    return told


def names(meet: Meet) -> list[str]:
    """The clubs that are a team."""
    own = [club for bib, club in meet.clubs.items() if bib not in meet.guests]
    return sorted(club for club in set(own) if own.count(club) >= 3)


def bounds(meet: Meet) -> list[str]:
    kind = meet.dice.choice(("highest", "allowance", "none"))
    told = ["[competition.running]"]
    if kind == "highest":
        told.append(f"highest = {shown(meet.high)}")
    if kind == "allowance":
        told.append("allowance = 0.500")
    return told


def cut(meet: Meet, of: str, to: str) -> list[str]:
    per = "club" if of == "team" or not meet.wide else meet.dice.choice(("club", "federation"))
    told = ["[[competition.cuts]]", f'name = "Cut of {of}"', f'of = "{of}"', f'per = "{per}"']
    if to:
        told.append(f'to = "{to}"')
    how = meet.dice.choice(("places", "places", "percent", "each"))
    share, most, each = (50, 4, 1) if not meet.wide else (meet.dice.randint(1, 99), 9, 2)
    told.append({
        "places": f"places = {meet.dice.randint(1, most)}",
        "percent": f"percent = {share}",
        "each": f"each = {meet.dice.randint(1, each)}",
    }[how])  # fmt: skip
    if how == "percent" and meet.wide:
        told.append(f'rounding = "{meet.dice.choice(("up", "down"))}"')
    if how != "each":
        told.append(f"cap = {meet.dice.choice((0, 1, 2))}")
        told.append(f'cap_counts = "{meet.dice.choice(("qualifiers and reserves", "qualifiers"))}"')
    told.append(f"reserves = {meet.dice.choice((0, 1, 2))}")
    if meet.chance(0.3):
        low = 9 if meet.single else 12
        told.append(f"minimum = {low if of == 'apparatus' else 4 * low}.000")
    return told


def final(meet: Meet, source: str, carried: list[str]) -> list[str]:
    told = ["[[competition]]", 'id = "final"', 'title = "Final"', discipline(meet),
            f'entered_from = "{source}"', f'rules = "{meet.rules}"',
            f'missing_scores = "{"share" if meet.share else "stop"}"']  # fmt: skip
    if carried:
        told.append(f"carried_from = {json_list(carried)}")
    if meet.final_of == "apparatus":
        told += [f"apparatus = {json_list(meet.parts[1:3])}", 'ranks = ["apparatus"]']
    if meet.final_of == "team":
        format = "20-20-2" if meet.wide else "9-9-2"
        told += ['ranks = ["team"]', f'team = {{ format = "{format}", by = "club" }}']
    told.append(f'start_order = "{meet.dice.choice(("as listed", "rank", "reverse rank"))}"')
    if meet.chance(0.4):
        told.append(f'withdrawn = [{{ bib = "{meet.dice.choice(meet.bibs)}", reason = "ankle" }}]')
    return told + bounds(meet)


def roster(meet: Meet, vaults: int) -> str:
    head = "bib,family_name,club,guest,status,entered,session,squad,division"
    lines = [f"{head},federation,birth_year" if meet.wide else head]
    sessions = meet.chance(0.3)
    for bib in meet.bibs:
        status = meet.dice.choice(("DNS", "WDR")) if meet.chance(0.05) else ""
        entered = "" if meet.entered[bib] == meet.parts else " ".join(meet.entered[bib])
        if entered and vaults == 2 and "VT" in entered:
            entered += " VT2"
        guest = "yes" if bib in meet.guests else ""
        session = meet.dice.choice("12") if sessions else ""
        if meet.wide:
            session = meet.sessions.get(bib, "")
        squad = meet.squads[bib]
        lines.append(
            f"{bib},Name{bib},{meet.clubs[bib]},{guest},{status},{entered},{session},{squad},"
            f"{meet.division.get(bib, '')}"
            + (f",{meet.federations[bib]},{meet.years[bib]}" if meet.wide else "")
        )
    return "\n".join(lines) + "\n"


def marks_of(meet: Meet, id: str, vaults: int) -> list[str]:
    """The rows of one competition, session by session, rotation by rotation."""
    found, many, ups = [], len(meet.parts), Counter[tuple[str, str]]()
    names = sorted({meet.sessions.get(bib, "") for bib in meet.bibs})
    for name, turn in itertools.product(names, range(1, many + 1)):
        for number, bib in enumerate(meet.bibs):
            part = meet.parts[(turn + number) % many]
            if part not in meet.entered[bib] or meet.division.get(bib, id) != id:
                continue
            if meet.sessions.get(bib, "") != name:
                continue
            ups[meet.clubs[bib], part] += bib not in meet.guests
            if bib not in meet.guests and ups[meet.clubs[bib], part] > meet.up:
                continue  # Entered, and does not go up.
            found.append(meet.row(id, bib, part, "1", turn))
            if part == "VT" and vaults == 2 and meet.chance(0.8):
                found.append(meet.row(id, bib, part, "2", turn))
    if meet.chance(0.2):
        bibs = [bib for bib in meet.bibs if meet.division.get(bib, id) == id]
        found.append(f"{id},{meet.dice.choice(bibs)},,,,,,,WDR,")
    return found


def final_rows(meet: Meet, made: Drawn, folder: Path) -> list[str]:
    """The rows of the final for those who start there, as far as they are known."""
    read, problems = read_meet(made.write(folder, len(made.rows)))
    if read is None or problems:
        return []
    judged, _ = results(read)
    found, many = [], len(meet.parts)
    for turn in range(1, many + 1):
        for number, start in enumerate(judged.competition("final").starts):
            part = meet.parts[(turn + number) % many]
            if part in start.apparatus:
                found.append(meet.row("final", start.gymnast.bib, part, "1", turn))
    return found


def json_list(words: Iterable[str]) -> str:
    return "[" + ", ".join(f'"{word}"' for word in words) + "]"

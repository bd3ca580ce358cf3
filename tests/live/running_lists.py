"""Small lists for the tests of the running meet."""

from itertools import starmap

from resultsgen.live.progress import LiveLine, LivePart, Progress, team_progress
from resultsgen.rules.criteria import BEST_PARTS, criteria
from resultsgen.rules.placings import placings

WOMEN = ("VT", "UB", "BB", "FX")
MEN = ("FX", "PH", "SR", "VT", "PB", "HB")


def list_of(
    marks,
    *,
    e=(),
    d=(),
    passed=(),
    rotation=(),
    competing=(),
    penalty=(),
    all_around=(),
    birth_year=(),
    parts=WOMEN,
    **rules,
) -> Progress:
    """A list of these marks; all else by gymnast, where it is given, a row or a value."""
    lines = {}
    for key, row in marks.items():
        none = (None,) * len(row)
        others = [dict(given).get(key, none) for given in (e, d, rotation)]
        over = dict(passed).get(key, (False,) * len(row))
        lines[key] = LiveLine(
            key,
            tuple(starmap(LivePart, zip(row, *others, over, strict=True))),
            competing=dict(competing).get(key, True),
            penalty=dict(penalty).get(key, 0),
            all_around=dict(all_around).get(key),
            birth_year=dict(birth_year).get(key),
        )
    width = max(len(row) for row in marks.values())
    return Progress(parts[:width], lines, **rules)


def together(marks, **others) -> Progress:
    """A list in which everybody does the same apparatus at a time."""
    turns = {key: range(1, len(row) + 1) for key, row in marks.items()}
    return list_of(marks, rotation=turns, **others)


def teams_of(members, teams, format, *, entered=None, penalty=()) -> Progress:
    """The teams of these gymnasts, given by the key of the team; all are entered if not said."""
    everywhere = dict.fromkeys(members.lines, members.parts)
    return team_progress(members, teams, entered or everywhere, format, dict(penalty))


def cascade(parts):
    """Best n-1 apparatus, best n-2 ..., then E, then D."""
    return criteria((BEST_PARTS, "total E", "total D"), parts)


def by_e():
    """E, then D: the rule of one apparatus."""
    return criteria(("E", "D"), 1)


def places_of(progress, steps) -> dict:
    """The places of all who have a total, as the rules give them."""
    keys = list(progress.totals)
    return dict(
        zip(
            keys,
            placings(progress.compared(progress.lines[key] for key in keys), steps),
            strict=True,
        )
    )

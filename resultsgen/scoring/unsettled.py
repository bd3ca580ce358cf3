"""What keeps results from being certain, told as problems: a tie whose E was not given, equals whom
nobody put in order where it matters, a mark to which nothing is carried, and one that is still to
come in a meet that is called official.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from resultsgen.files.toml_keys import key_path
from resultsgen.meet.competition import Cut, bibs_on, every_bib
from resultsgen.meet.folder import MarkRow
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Note, Problem, counted, first_of
from resultsgen.rules.ties import Step, Tie
from resultsgen.scoring.field import Field
from resultsgen.scoring.ranking import CutResult, Line, Ranking
from resultsgen.scoring.results import Results

SOME = 5
"""So many are named in a problem; who is still missing then is soon seen in the list."""


def unsettled_ties(results: Results) -> list[Problem]:
    """A problem for each tie that the rules settle by a number that was not given.

    Where no E score is given in a competition at all, that is the one cause of all its ties.
    """
    found = []
    for judged in results.competitions:
        unsettled = [
            (ranking, tie, step)
            for ranking in judged.rankings
            for tie in chain(ranking.ties, *ranking.apparatus_ties.values())
            if (step := tie.unsettled) and judged.competition.missing_scores == "stop"
            if step.criterion.name != "all-around total"  # It waits for marks that are to come.
        ]
        ids = results.meet.settings.entered_under(judged.competition)
        rows = [row for row in results.meet.mark_rows if unsettled and row.competition in ids]
        problems = [_unsettled(results, rows, *each) for each in unsettled]
        if len(problems) > 1 and all(row.e is None for row in rows):
            ties = counted(len(problems) - 1, "more tie")
            more = f"; E or D scores are wanted for {ties} of this competition too"
            problems = [replace(problems[0], message=problems[0].message + more)]
        found += problems
    return found


def _unsettled(
    results: Results, rows: list[MarkRow], ranking: Ranking, tie: Tie, step: Step
) -> Problem:
    """The problem of one tie, at the first mark that any of those who are tied have for a list."""
    lines = [ranking.by_key[key] for key in step.keys]
    lacking = [_name(line) for line, value in zip(lines, step.values, strict=True) if value is None]
    words = step.criterion.called or step.criterion.words.format(count=step.criterion.count)
    persons = {who.person for line in lines for who in line.of.gymnasts}
    theirs = (
        (row.file, row.line)
        for row in rows
        if ranking.apparatus in ("", row.apparatus)
        and row.gymnast is not None
        and results.gymnasts[row.gymnast].person in persons
    )
    file, first = next(theirs, ("meet.toml", 0))
    return Problem(
        file,
        first,
        "",
        "tie-not-settled",
        f"{' and '.join(map(_name, lines))} are tied on {show_mark(tie.total)} in "
        f"{ranking.competition!r} ({ranking.id} list); the rules settle it by the {words}, "
        f"which is not given for {', '.join(lacking)}: fill it in, or set "
        'missing_scores = "share" for the competition in meet.toml to publish it as a shared place',
    )


def _name(line: Line) -> str:
    """What somebody is called in a problem: by bib, or by the team's name."""
    return line.id if line.of.kind == "team" else f"bib {line.id}"


def equals_not_decided(results: Results) -> list[Problem]:
    """A problem for each order that is needed and not given, or given of who is not equal."""
    found = []
    for number, judged in enumerate(results.competitions):
        for cut_number, cut in enumerate(judged.competition.cuts):
            path = key_path("competition", number, "cuts", cut_number, "reserve_order")
            made = [(ranking, each) for ranking in judged.rankings for each in ranking.cuts
                    if each.cut is cut]  # fmt: skip
            given = ", ".join(every_bib(cut.reserve_order))
            found += [
                Problem("meet.toml", 0, path, "equals-not-decided", message, given)
                for ranking, each in made
                for message in _open_equals(ranking, each)
            ]
            if made and all(each.final for _, each in made):
                found += [
                    Problem("meet.toml", 0, path, "order-does-not-fit", message, given)
                    for message in _misfits(cut, [ranking for ranking, _ in made])
                ]
    return found


def _open_equals(ranking: Ranking, cut: CutResult) -> Iterator[str]:
    """Equals of whom only some qualify or are called up."""
    for keys in cut.undecided:
        place = ranking.by_key[keys[0]].place
        lines = [line for line in ranking.lines if line.place == place]
        given, key = cut.cut.reserve_order, "reserve_order"
        here = (*bibs_on(given, ranking.apparatus), *(line.id for line in lines))
        order = ", ".join(f'"{bib}"' for bib in dict.fromkeys(here))
        if ranking.apparatus and (isinstance(given, dict) or not given):
            key += f".{ranking.apparatus}"
        yield (
            f"{' and '.join(map(_name, lines))} share place {place} in {ranking.competition!r} "
            f"({ranking.id} list), not all of them can qualify or be called up for "
            f"{cut.cut.name!r}, and nobody decided which: write  {key} = [{order}]  in the "
            "order that the jury gives them"
        )


def _misfits(cut: Cut, rankings: list[Ranking]) -> Iterator[str]:
    """Who is put in order and shares no place with another of them; who is left out of it."""
    alone = set(every_bib(cut.reserve_order))
    for ranking in rankings:
        named = bibs_on(cut.reserve_order, ranking.apparatus)
        equals: dict[int, list[str]] = {}
        for line in ranking.lines:
            if line.place is not None:
                equals.setdefault(line.place, []).append(line.id)
        for place, sharing in equals.items():
            ordered = [name for name in sharing if name in named]
            lacking = [name for name in sharing if name not in named]
            if len(ordered) > 1:
                alone -= set(ordered)
            shares = "share" if len(lacking) > 1 else "shares"
            if len(ordered) > 1 and lacking:
                yield (
                    f"{', '.join(lacking)} {shares} place {place} with {', '.join(ordered)} "
                    f"({ranking.id} list): name all who do, in order"
                )
    for name in sorted(alone):
        yield (
            f"{name} shares no place with another that is named: it can only put equals in order; "
            "take it out"
        )


def totals_below_0(results: Results) -> Iterator[Note]:
    """A note on each team of which more is taken than its marks give."""
    for number, judged in enumerate(results.competitions):
        for line in judged.team.lines if judged.team else ():
            if line.total is not None and line.total < 0:
                path = key_path("competition", number, "team", "penalties")
                message = f"{line.id} has the total {show_mark(line.total)}, which is below 0"
                yield Note("meet.toml", 0, path, "total-below-0", f"{message}; is that meant?")


def nothing_to_carry(these: Field) -> Iterator[Problem]:
    """A problem for the marks in a final to which those of one qualification are lacking."""
    if not these.carried:
        return
    lacking: dict[str, list[MarkRow]] = {}
    for row in these.meet.mark_rows:
        if row.competition != these.competition.id or row.mark is None or row.vault != 1:
            continue
        if row.gymnast is None or row.gymnast not in these.gymnasts:
            continue  # That it is nobody's here is told already.
        for carried in these.carried:
            if carried.mark(row.gymnast, row.apparatus) is None:
                lacking.setdefault(carried.competition.id, []).append(row)
    for earlier, rows in lacking.items():
        parts: dict[str, list[str]] = {}
        for row in rows:
            parts.setdefault(row.bib, []).append(row.apparatus)
        whose = "; ".join(f"bib {bib} on {', '.join(own)}" for bib, own in parts.items())
        yield Problem(
            rows[0].file,
            rows[0].line,
            "mark",
            "nothing-to-carry",
            f"marks in {these.competition.id!r} to which none in {earlier!r} is given that half of "
            f"is carried into them: {whose}; enter those marks, or correct the bibs here",
            rows[0].bib,
        )


def marks_to_come(results: Results) -> list[Problem]:
    """A problem where marks are to come in any list of a meet that is called official."""
    open_lists = {
        judged.competition.id: lists
        for judged in results.competitions
        if (lists := [ranking for ranking in judged.rankings if ranking.to_come])
    }
    if results.meet.settings.status.state != "official" or not open_lists:
        return []
    where = ", ".join(
        f"in {id!r} ({'; '.join(f'{open.id} list{_of_whom(open)}' for open in lists)})"
        for id, lists in open_lists.items()
    )
    message = (
        f"the meet is called official, but marks are still to come {where}: enter them or DNS, say "
        "on the roster (column 'entered') who does not do every apparatus, or set the state to "
        "provisional"
    )
    code = "official-but-not-finished"
    return [Problem("meet.toml", 0, "status.state", code, message, "official")]


def _of_whom(ranking: Ranking) -> str:
    """Whose marks are to come: the first few of a list of gymnasts, by bib."""
    if ranking.of_teams:
        return ""
    bibs = [line.id for line in ranking.lines if line.total is None and not line.status]
    return f": bib {first_of(bibs, SOME)}" if bibs else ""

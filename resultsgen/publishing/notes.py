"""What is told with a publication and keeps nothing back: each finds the notes of one kind."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from resultsgen.privacy.withheld import naming_withheld
from resultsgen.reading.publications import records_that_tell
from resultsgen.scoring.results import Results
from resultsgen.theme.fonts import missing
from resultsgen.theme.theme import Theme
from resultsgen.views.site.attachments import RenderedPage


def not_decided(texts: tuple[RenderedPage, ...]) -> Iterator[str]:
    """A note on each fact of a page that waits for marks, once for all languages."""
    return iter(dict.fromkeys(one for text in texts for one in text.undecided))


def not_handed_out(judged: Results) -> Iterator[str]:
    """A note on competitions whose certificates or start lists wait, and on those that need no
    score sheets."""
    handouts = judged.meet.settings.handouts
    held = [one for one in judged.competitions if one.competition.has_own_marks]
    coming = ", ".join(one.competition.title for one in judged.competitions if not one.complete)
    done = ", ".join(one.competition.title for one in held if one.complete)
    if "certificates" in handouts and coming:
        yield f"certificates are left out for all who are in {coming}: marks are to come there"
    if "score sheets" in handouts and done:
        yield f"score sheets of {done} are left out: no mark is to come there"
    sheets = " and score sheets" if "score sheets" in handouts else ""
    for one in (one for one in held if one.waits_for):
        yield (
            f"start lists{sheets} of {one.competition.title} are not printed: {one.waits_for} "
            "still runs"
        )


def old_copies(judged: Results, *folders: Path) -> Iterator[str]:
    """A note on each record in these folders that tells a name which is withheld today."""
    tells = naming_withheld(judged.meet)
    for folder in folders:
        told = records_that_tell(folder, tells)
        if told:
            yield (
                f"{folder} still tells a name that is withheld ({', '.join(told)}): build, and put "
                "the records of the new output there; copies elsewhere (web host, sticks, mails, "
                "printed books, feed readers, search engines) keep it until they are replaced"
            )


def turned_back(judged: Results) -> Iterator[str]:
    """A note where the clock has this publication before the one before."""
    issues = judged.history.issues[-2:]
    times = [one.publication.published for one in issues if one.publication.published]
    if len(times) == 2 and all(time.tzinfo for time in times) and times[1] < times[0]:
        before, now = (f"{time:%Y-%m-%d %H:%M:%S}" for time in times)
        yield f"this publication is of {now}, and the one before of {before}: look at the clock"


def carried_over(names: tuple[str, ...]) -> Iterator[str]:
    """A note on the files that are published too, though this program did not make them."""
    tops = Counter("".join(name.partition("/")[:2]) for name in names)
    told = [f"{top} ({many})" if top.endswith("/") else top for top, many in tops.items()]
    if told:
        yield f"carried over from the published folder, and not made here: {', '.join(told)}"


def letters_without_a_font(judged: Results, theme: Theme) -> Iterator[str]:
    """A note for each script with letters that the theme's fonts do not have."""
    names = dict.fromkeys(
        text
        for one in judged.gymnasts.values()
        for text in (one.name, one.club, one.federation, one.team)
    )
    if not missing(theme.fonts, "".join(names)):
        return
    found: dict[str, dict[str, str]] = {}
    for name in names:
        for letter in missing(theme.fonts, name):
            script = unicodedata.name(letter, letter).split()[0]
            found.setdefault(script, {}).setdefault(letter, name)
    for named in found.values():
        letters, name = " ".join(named), next(iter(named.values()))
        yield (
            f"the theme's fonts have no {letters}, as in {name}; such letters are set in the "
            "sans-serif font of this machine, and books with a letter that it lacks are refused"
        )

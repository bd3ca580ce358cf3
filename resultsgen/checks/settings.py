"""What must be true of the meet's own settings, and of its texts in other languages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from resultsgen.checks.keys import FILE, in_settings, unknown
from resultsgen.checks.roster import gymnasts_of
from resultsgen.meet.columns import COLUMNS, PARTS
from resultsgen.meet.folder import Meet
from resultsgen.meet.names import DISCIPLINES
from resultsgen.meet.parts import SECOND_VAULT
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.validating import address_amiss

LARGEST = 80_000
"""Rows of all lists and cuts together; 2,000 gymnasts with all finals have about 60,000."""


def dates_are_in_order(meet: Meet) -> Iterator[Problem]:
    """The last day is not before the first."""
    dates = meet.settings.dates
    if list(dates) != sorted(dates):
        message = "the last day is before the first; write the first day first"
        value = f"{dates[0]}, {dates[-1]}"
        yield in_settings(("dates",), "dates-not-in-order", message, value)


def official_results_are_signed(meet: Meet) -> Iterator[Problem]:
    """Results that are called official name who signed them."""
    status = meet.settings.status
    if status.state == "official" and not any(person.name.strip() for person in status.signed):
        message = (
            "official results need a signature: add  [[status.signed]]  with a name, "
            'or set the state to "provisional"'
        )
        yield in_settings(("status", "state"), "not-signed", message, "official")


def addresses_are_web_addresses(meet: Meet) -> Iterator[Problem]:
    """The address of publication is a whole one."""
    yield from address_amiss(meet.settings.base_url, FILE)


def frames_lead_somewhere(meet: Meet) -> Iterator[Problem]:
    """Lists for the pages of others know their own address."""
    if meet.settings.embeds and not meet.settings.base_url:
        message = (
            "lists for frames on other sites need  base_url, where this site will be published"
        )
        yield in_settings(("embeds",), "no-web-address", message, "true")


def the_screen_shows_competitions_that_there_are(meet: Meet) -> Iterator[Problem]:
    """The display in the hall names competitions of the meet."""
    known = [one.id for one in meet.settings.competitions]
    for id in meet.settings.screen.competitions if meet.settings.screen else ():
        if id not in known:
            yield unknown(("screen", "competitions"), "competition", id, known)


def equals_stand_in_an_order_that_is_seen(meet: Meet) -> Iterator[Problem]:
    """Nothing is listed by bibs that are not shown."""
    if meet.settings.equals == "bib" and meet.settings.bibs == "made":
        message = 'bibs are not shown (bibs = "made"), so no list can stand by them; take it out'
        yield in_settings(("equals",), "order-not-shown", message, "bib")


def the_logo_is_a_picture(meet: Meet) -> Iterator[Problem]:
    """The logo, the picture of the first page and that of certificates are in assets/."""
    settings, there = meet.settings, ", ".join(meet.assets) or "none"
    for key, name in (
        (("logo",), settings.logo),
        (("picture",), settings.picture),
        (("certificates", "picture"), settings.certificates.picture),
    ):
        if name and name not in meet.assets:
            message = (
                f"there is no picture {name} in assets/ that can be published; there are: {there}"
            )
            yield in_settings(key, "no-such-picture", message, name)


def the_words_for_columns_are_known(meet: Meet) -> Iterator[Problem]:
    """[columns] maps names that we have: columns, apparatus codes, disciplines."""
    columns = meet.settings.columns
    for table, ours in COLUMNS.items():
        known = [column.name for column in ours]
        for name, heading in getattr(columns, table).items():
            if name not in known:
                mend = did_you_mean(name, known) or f"there are {', '.join(known)}"
                if heading in known:  # Often it is the wrong way round.
                    mend = f'did you mean  {heading} = "{name}"?'
                message = (
                    f"there is no column {name}; {mend} (ours on the left, yours on the right)"
                )
                yield in_settings(("columns", table, name), "unknown-column", message, heading)
    disciplines = (*DISCIPLINES, *meet.settings.disciplines)
    codes = known_apparatus(meet)
    for word, key in columns.disciplines.items():
        if key not in disciplines:
            yield unknown(("columns", "disciplines", word), "discipline", key, disciplines)
    for word in columns.status:
        if not word.strip():
            message = "an empty cell is no status; delete this line"
            yield in_settings(("columns", "status", word), "unknown-status", message)
    for word, code in columns.apparatus.items():
        of, _, part = code.partition(" ")
        if not code:
            held = (meet.settings.apparatus_of(one) for one in meet.settings.competitions)
            those = ", ".join(dict.fromkeys(chain.from_iterable(held)))
            message = (
                f"of which apparatus are the numbers under {word}? Write its code between the "
                f"quotes ({those}), or delete this line if they are no marks"
            )
            yield in_settings(("columns", "apparatus", word), "unknown-apparatus", message)
        elif of not in (*codes, SECOND_VAULT) or part.casefold() not in ("", *PARTS):
            yield unknown(("columns", "apparatus", word), "apparatus", code, codes)


def the_tables_are_sources(meet: Meet) -> Iterator[Problem]:
    """[tables] says of sources that are read what can be said of them."""
    read: dict[str, set[str]] = {}
    for name, columns in COLUMNS.items():
        for source in meet.settings.sources(name):
            read.setdefault(source, set()).update(column.name for column in columns)
    for source, how in meet.settings.tables.items():
        if source not in read:
            message = f"{source} is no source here; there are {', '.join(read)}"
            yield in_settings(("tables", source), "unknown-source", message, source)
            continue
        for key, names in (("fixed", how.fixed), ("columns", how.columns)):
            for name in sorted(names.keys() - read[source]):
                known = sorted(read[source])
                yield unknown(("tables", source, key, name), "column", name, known)


def known_apparatus(meet: Meet) -> tuple[str, ...]:
    """The codes of all apparatus: the usual ones and those that the settings declare."""
    own = (
        code for discipline in meet.settings.disciplines.values() for code in discipline.apparatus
    )
    usual = (code for codes in DISCIPLINES.values() for code in codes)
    return tuple(dict.fromkeys((*usual, *meet.settings.apparatus, *own)))


def a_meet_is_judged_in_seconds(meet: Meet) -> Iterator[Problem]:
    """All lists and cuts of all competitions together have no more rows than any meet needs."""
    rows = 0
    for competition in meet.settings.competitions:
        apparatus = len(meet.settings.apparatus_of(competition))
        of_cuts = (apparatus if cut.of == "apparatus" else 1 for cut in competition.cuts)
        rows += len(gymnasts_of(competition, meet)) * (1 + apparatus + sum(of_cuts))
    if rows > LARGEST:
        message = (
            f"all lists and cuts of the competitions have {rows} rows together, and at most "
            f"{LARGEST} are worked out; part the meet into several, or give divisions"
        )
        yield Problem(meet.settings.files.roster[0], 0, "", "meet-too-large", message)


def printed_texts(settings: MeetSettings) -> Iterator[str]:
    """Every text of `meet.toml` that is printed, and can be given in another language."""
    press = settings.press
    yield from (settings.title, settings.place, settings.venue, settings.organiser)
    yield from settings.apparatus.values()
    yield from (one.role for one in settings.officials)
    yield from (one.role for one in settings.status.signed)
    yield from (*press.contact, press.embargo, press.terms, *settings.certificates.signatures)
    for competition in settings.competitions:
        yield competition.title
        yield from (cut.name for cut in competition.cuts)
        yield from (one.reason for one in competition.team.penalties) if competition.team else ()


GROUPED = ("division", "session", "squad")
"""What the roster calls those who start together, printed in each language as [texts] has it."""


def groups_of(meet: Meet) -> list[list[str]]:
    """Each division, session and squad of the roster, once."""
    return [list(dict.fromkeys(getattr(entry, name) for entry in meet.entries)) for name in GROUPED]


def texts_are_in_languages_of_the_meet(meet: Meet) -> Iterator[Problem]:
    """[texts] is for the languages of the meet beside the main one."""
    main, *others = meet.settings.languages
    for code in meet.settings.texts:
        if code not in others:
            message = (
                f'no page is in {code}: add it to the languages,  languages = ["{main}", "{code}"]'
            )
            if code == main:
                message = (
                    f"{code} is the main language, and as you have written them the texts stand"
                )
            yield in_settings(("texts", code), "unknown-language", message, code)


def texts_are_of_the_meet(meet: Meet) -> Iterator[Problem]:
    """What stands on the left under [texts] is printed; what stands on the right is a text."""
    grouped = chain.from_iterable(groups_of(meet)) if meet.settings.texts else ()
    known = tuple(dict.fromkeys(filter(None, (*printed_texts(meet.settings), *grouped))))
    for code, texts in meet.settings.texts.items():
        for text, said in texts.items():
            if text not in known:
                mend = did_you_mean(text, known) or "write it as it stands in another place here"
                message = f"no text that is printed is so: {mend}"
                yield in_settings(("texts", code, text), "unknown-text", message, text)
            elif not said.strip():
                message = "no text at all; delete this line, and it stays as it is"
                yield in_settings(("texts", code, text), "unknown-text", message)


def what_is_called_otherwise_is_so_in_every_language(meet: Meet) -> Iterator[Problem]:
    """What is called otherwise in the main language is so in each: competitions, cuts, divisions.

    So are sessions and squads.
    """
    if not meet.settings.texts:
        return
    competitions = meet.settings.competitions
    groups = [[one.title for one in competitions], *groups_of(meet)]
    groups += ([cut.name for cut in one.cuts] for one in competitions)
    for code, texts in meet.settings.texts.items():
        alike = (pair for group in groups for pair in _alike(group, texts))
        for text, other in dict(alike).items():
            message = f"{other} is called so too: give them names of their own"
            yield in_settings(("texts", code, text), "called-alike", message, texts[text])


def _alike(group: Sequence[str], texts: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Each text of a group that is given the name of one before, with that."""
    first: dict[str, str] = {}
    for text in sorted(group, key=lambda text: text in texts):
        before = first.setdefault(texts.get(text, text), text)
        if before != text:
            yield text, before

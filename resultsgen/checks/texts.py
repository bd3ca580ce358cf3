"""What must be true of the texts of a meet in its other languages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from resultsgen.checks.keys import in_settings
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.meet.settings import Competition, MeetSettings


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
    known = tuple(dict.fromkeys(filter(None, printed_texts(meet.settings))))
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
    """Competitions, and cuts of one, whose names differ have different ones in each language."""
    competitions = meet.settings.competitions
    groups = [[one.title for one in competitions], *map(_cuts, competitions)]
    for code, texts in meet.settings.texts.items():
        alike = (pair for group in groups for pair in _alike(group, texts))
        for text, other in dict(alike).items():
            message = f"{other} is called so too: give them names of their own"
            yield in_settings(("texts", code, text), "called-alike", message, texts[text])


def _cuts(competition: Competition) -> list[str]:
    return [cut.name for cut in competition.cuts]


def _alike(group: Sequence[str], texts: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Each text of a group that is given the name of one before, with that."""
    first: dict[str, str] = {}
    for text in sorted(group, key=lambda text: text in texts):
        before = first.setdefault(texts.get(text, text), text)
        if before != text:
            yield text, before

"""Names that a season withholds: looked for in its own texts and in all that would be published."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from resultsgen.files.cache import cache_folder
from resultsgen.meet.problems import MeetProblems
from resultsgen.privacy.forms import Name, Sought, sought
from resultsgen.privacy.places import Place, naming, of_pages, texts
from resultsgen.publishing.last_look import key_of_names, look_for
from resultsgen.publishing.season_folders import SEASON_FILE
from resultsgen.publishing.season_reading import ReadSeason, in_lines, season_meet
from resultsgen.season.season import Season


def sought_nowhere(made: Season, names: Mapping[Name, str], read: ReadSeason) -> Sought:
    """The names that may stand nowhere; MeetProblems where the season's own texts tell one."""
    told = [Name(one.family, one.given) for one in made.careers if not one.withheld]
    namesakes = [text for source in read.sources for text in source.namesakes]
    clubs = {club for one in made.careers for club in one.clubs}
    looked = sought(names.items(), told, namesakes, clubs)
    if wrong := in_lines(naming(looked, _own_texts(read), _withheld), read.lines):
        raise MeetProblems(wrong)
    return looked


def _own_texts(read: ReadSeason) -> Iterator[Place]:
    """The texts that the season takes from its folder, and from meets what is no row."""
    for path, text in texts(read.settings):
        if not path.startswith(("meets", "theme")):
            yield Place(SEASON_FILE, 0, path, text)
    yield from of_pages(read.pages, {path.name: path for path in read.pictures})
    for source in read.sources:
        told = season_meet(source).results
        held: dict[str, Iterable[str]] = {
            "": [source.id],
            "title": [told.meet.title, *(one.title for one in told.competitions)],
            "place": [told.meet.place],
            "organiser": [told.meet.organiser],
            "rules": [one.rules.title for one in told.competitions],
            "apparatus": [one.name for one in told.apparatus],
            "club": [one.club for one in told.gymnasts],
            "federation": [one.federation for one in told.gymnasts],
            "team": [
                line.name for one in told.competitions if one.team for line in one.team.lines
            ],
        }  # fmt: skip
        for column, each in held.items():
            yield from (Place(source.id, 0, column, text) for text in dict.fromkeys(each))


def _withheld(said: str, who: str) -> str:
    """What is wrong with a text that tells a name, and both ways to go on."""
    return (
        f'"{said}" is a name that {who} withholds with publish = no; take it out, or, if somebody '
        f'or something else is meant, say so: namesakes = ["{said}"] under [privacy] in the '
        "meet.toml of a meet of the season"
    )


def look_at(looked: Sought, folder: Path, digests: Mapping[str, str]) -> None:
    """Nothing is put in place that tells a name which the season withholds."""
    try:
        look_for(looked, key_of_names(looked), cache_folder(), folder, digests)
    except MeetProblems as found:
        message = "would tell a name that the season withholds; mend it where it comes from"
        raise MeetProblems([replace(one, message=message) for one in found.problems]) from None

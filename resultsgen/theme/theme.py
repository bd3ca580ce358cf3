"""A theme is how it looks: colours, type and options in theme.toml, templates and style sheets.

What a theme lacks comes file by file from the theme it is based on, in the end from `standard`.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

from pydantic import Field, ValidationError

from resultsgen.files.cache import Cache, cache_folder, code_digest, key_of
from resultsgen.files.markup import wrong_in_page
from resultsgen.files.opening import UnreadableError, file_bytes, is_there, names_in
from resultsgen.files.toml import TomlError, laid_over, read_toml
from resultsgen.meet.values import Frozen, Number

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment

STANDARD = "standard"

MOST_FOLDERS = 5
"""So many themes may be based on each other in turn."""


Colour = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]


class ThemeError(LookupError):
    """A theme that is not there or whose theme.toml cannot be used; the message says why."""


class Colours(Frozen):
    """The colours of the pages; each is a custom property of the same name in the style sheets."""

    paper: Colour = Field(description="The page")
    sheet: Colour = Field(description="Tables and boxes that lie on the page")
    ink: Colour = Field(description="Text")
    quiet: Colour = Field(description="Second lines, captions")
    line: Colour = Field(description="Fine lines between rows")
    band: Colour = Field(description="The band on top of the page")
    on_band: Colour = Field(alias="on-band", description="Text on the band")
    accent: Colour = Field(description="Links, and what is chosen")
    wash: Colour = Field(description="Behind a row or box that stands out")
    through: Colour = Field(description="Those who qualify")
    signal: Colour = Field(description="Provisional, and what still changes")


class Type(Frozen):
    """The fonts: one family, regular and bold, as files of the theme, and one for titles."""

    family: str = Field(pattern=r"^[\w -]+$")
    regular: str
    bold: str
    display: str = Field("", description="For titles and winners; empty: the bold one")

    @property
    def properties(self) -> dict[str, str]:
        """What style sheets know the fonts by; what the one for titles lacks, the other has."""
        family = f'"{self.family}"'
        titles = f'"{self.family} Display", {family}' if self.display else family
        return {"family": family, "display": titles}


class Options(Frozen):
    """Small choices that templates ask about."""

    leaders: Number = Field(3, ge=1, le=8, description="How many places the home page shows")


class ThemeSettings(Frozen):
    """The whole of theme.toml."""

    title: str
    about: str = ""
    based_on: str = Field("", alias="based-on")
    light: Colours
    dark: Colours
    type: Type
    options: Options = Options()


class Face(NamedTuple):
    """A font under the family and weight that style sheets ask for."""

    family: str
    weight: int
    file: Path


@dataclass(frozen=True)
class Theme:
    """A theme, ready to be used: its settings and its folders, its own first."""

    name: str
    settings: ThemeSettings
    folders: tuple[Path, ...]
    trusted: bool = False
    """The person at the table takes the theme for as harmless as those that come along."""

    @cached_property
    def comes_along(self) -> bool:
        """All of it is part of resultsgen."""
        return all(folder.parent == themes_folder() for folder in self.folders)

    def file(self, name: str) -> Path:
        """A file of the theme, from the first of its folders that has it."""
        return self._first(name) / name

    def text(self, name: str) -> str:
        """What that file says."""
        return text_of(self._first(name), name)

    def texts(self, name: str) -> tuple[str, ...]:
        """What every file of this name along the folders says, the theme's own first."""
        return tuple(text_of(folder, name) for folder in self._with(name))

    def _first(self, name: str) -> Path:
        for folder in self._with(name):
            return folder
        raise ThemeError(f"theme {self.name} has no {name}, and nor has what it is based on")

    def _with(self, name: str) -> tuple[Path, ...]:
        return tuple(folder for folder in self.folders if is_there(folder, name))

    def templates(self, part: str) -> tuple[tuple[str, bytes], ...]:
        """Every template of `site` or `book`, with its folder's place in the order and its name."""
        return tuple(
            (f"{place}/{name}", _bytes(folder, f"{part}/{name}"))
            for place, folder in enumerate(self.folders)
            for name in names_in(folder, part, ".html")
        )

    def digest(self, part: str) -> str:
        """What tells the templates of `site` or `book` and the settings that they are filled by."""
        templates = (
            bytes for pair in self.templates(part) for bytes in (pair[0].encode(), pair[1])
        )
        return key_of(repr(self.settings), *templates)

    def environment(self, part: str) -> Environment:
        """The templates of `site` or `book`; `standard/page.html` names the base's own."""
        from resultsgen.theme.templates import strangers_environment

        if self.comes_along:
            return _shipped(self.folders, part, cache_folder())
        look = partial(wrong_in_page, book=part == "book")
        return strangers_environment(self.folders, part, trusted=self.trusted, look=look)

    @cached_property
    def fonts(self) -> tuple[Path, Path]:
        """The regular and the bold font."""
        regular, bold = self.settings.type.regular, self.settings.type.bold
        for name in (regular, bold):
            _bytes(self._first(name), name)
        return self.file(regular), self.file(bold)

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """Regular, bold, and the one for titles where the theme has one."""
        chosen, (regular, bold) = self.settings.type, self.fonts
        faces = Face(chosen.family, 400, regular), Face(chosen.family, 700, bold)
        if not chosen.display:
            return faces
        _bytes(self._first(chosen.display), chosen.display)
        return *faces, Face(f"{chosen.family} Display", 700, self.file(chosen.display))


@lru_cache(maxsize=8)
def _shipped(folders: tuple[Path, ...], part: str, kept: Path | None) -> Environment:
    """The templates of themes that come along, each read again where its file is another."""
    from resultsgen.theme.shipped import shipped_environment

    return shipped_environment(folders, part, bytecode_cache=_compiled_before(kept))


def _compiled_before(kept: Path | None) -> BytecodeCache:
    """Templates as they were compiled last time: to compile them takes longer than to fill them."""
    from jinja2 import BytecodeCache
    from jinja2.bccache import Bucket

    # How templates escape and what filters are told is compiled into them.
    cache, program = Cache(kept), code_digest()

    class Kept(BytecodeCache):
        def load_bytecode(self, bucket: Bucket) -> None:
            if code := cache.get(key_of("template", program, bucket.key, bucket.checksum)):
                bucket.bytecode_from_string(code)

        def dump_bytecode(self, bucket: Bucket) -> None:
            key = key_of("template", program, bucket.key, bucket.checksum)
            cache.put(key, bucket.bytecode_to_string())

    return Kept()


def themes_folder() -> Path:
    """The folder of the themes that come with resultsgen."""
    package = Path(__file__).parents[1]
    inside, beside = package / "themes", package.parent / "themes"
    return inside if inside.is_dir() else beside


def theme_names() -> tuple[str, ...]:
    """The names of the themes that come with resultsgen."""
    return tuple(sorted(file.parent.name for file in themes_folder().glob("*/theme.toml")))


def chosen_theme(asked: str, trusted: str, named: str, meet_folder: Path) -> Theme:
    """The theme that the command line asks for, else the one that the meet names.

    *trusted* is the name of a theme that the person at the table trusts.
    """
    name = asked or named
    if trusted not in ("", name):
        raise ThemeError(f"the theme is {name}, and the one that is trusted is {trusted}")
    try:
        theme = find_theme(name, meet_folder)
    except ThemeError:
        if not asked:
            raise
        theme = find_theme(asked)
    return replace(theme, trusted=bool(trusted))


def find_theme(name: str, meet_folder: Path | None = None) -> Theme:
    """A theme by its name, or by its folder: one inside the meet folder, if there is one."""
    folders: list[Path] = []
    told: list[Mapping[str, Any]] = []
    wanted = name
    while wanted:
        beside = folders[-1].parent if folders else meet_folder
        if not isinstance(wanted, str):
            raise ThemeError(f"theme {name}: based-on is the name of a theme, in quotes")
        folder = _folder(wanted, beside, meet_folder)
        if folder in folders:
            raise ThemeError(f"theme {name} is based on itself by way of {wanted}")
        if len(folders) == MOST_FOLDERS:
            raise ThemeError(f"theme {name} is based on more than {MOST_FOLDERS} themes in turn")
        folders.append(folder)
        told.append(_read(folder))
        wanted = told[-1].get("based-on", "" if folder == themes_folder() / STANDARD else STANDARD)
    return Theme(name, _settings(name, told), tuple(folders))


def _folder(name: str, beside: Path | None, within: Path | None) -> Path:
    """The folder of a theme: a shipped one, else one beside; outside the meet folder none."""
    if name in theme_names():
        return themes_folder() / name
    try:
        folder = Path(os.path.realpath(beside / name if beside else Path(name)))
    except ValueError as error:  # A name that no system takes.
        raise ThemeError(f"there is no theme {name!r}: {error}") from error
    if within and not folder.is_relative_to(os.path.realpath(within)):
        raise ThemeError(f"theme {name} lies outside the meet folder; copy it into the folder")
    if is_there(folder, "theme.toml"):
        return folder
    known = ", ".join(theme_names())
    raise ThemeError(f"there is no theme {name}; those that come along are {known}")


_told = lru_cache(maxsize=8)(read_toml)


def _read(folder: Path) -> Mapping[str, Any]:
    try:
        return _told(text_of(folder, "theme.toml"))
    except TomlError as error:
        raise ThemeError(f"{folder / 'theme.toml'} cannot be read: {error}") from error


def text_of(folder: Path, name: str) -> str:
    """A text of a theme, with its lines ended as here."""
    try:
        return _bytes(folder, name).decode().replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise ThemeError(f"{folder / name} cannot be read: {error}") from error


def _bytes(folder: Path, name: str) -> bytes:
    try:
        return file_bytes(folder, name)
    except UnreadableError as refusal:
        raise ThemeError(f"{folder / name} {refusal}") from refusal


def _settings(name: str, told: list[Mapping[str, Any]]) -> ThemeSettings:
    """What the theme and all it is based on say together; its own word counts."""
    merged: dict[str, Any] = {}
    for one in reversed(told):
        merged = laid_over(merged, one)
    merged.pop("based-on", None)
    try:
        return ThemeSettings.model_validate(merged)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise ThemeError(f"theme {name}, theme.toml: {where}: {first['msg']}") from error


SCREEN_STYLE, SCREEN_SCRIPT = "static/screen.css", "static/screen.js"
STYLES = ("static/site.css", "static/extra.css", SCREEN_STYLE, "book/book.css")
SCRIPTS = ("static/news.js", "static/tables.js", "static/find.js")
"""What shows news, what sorts and narrows lists, what finds a name; one file to the browser."""

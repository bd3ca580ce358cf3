"""A theme is how it looks: colours, type and options in theme.toml, templates and style sheets.

What a theme lacks comes file by file from the theme it is based on, in the end from `standard`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field, ValidationError

from resultsgen.cache import Cache, cache_folder, key_of
from resultsgen.meet import Frozen

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment

STANDARD = "standard"

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
    through: Colour = Field(description="Those who go through")
    signal: Colour = Field(description="Provisional, and what still changes")


class Type(Frozen):
    """The fonts: one family, regular and bold, as files of the theme."""

    family: str = Field(pattern=r"^[\w -]+$")
    regular: str
    bold: str


class Options(Frozen):
    """Small choices that templates ask about."""

    leaders: int = Field(3, ge=1, le=8, description="How many places the home page shows")


class ThemeSettings(Frozen):
    """The whole of theme.toml."""

    title: str
    about: str = ""
    based_on: str = Field("", alias="based-on")
    light: Colours
    dark: Colours
    type: Type
    options: Options = Options()


@dataclass(frozen=True)
class Theme:
    """A theme, ready to be used: its settings and its folders, its own first."""

    name: str
    settings: ThemeSettings
    folders: tuple[Path, ...]

    def file(self, name: str) -> Path:
        """A file of the theme, from the first of its folders that has it."""
        found = self.files(name)
        if not found:
            raise ThemeError(f"theme {self.name} has no {name}, and nor has what it is based on")
        return found[0]

    def files(self, name: str) -> tuple[Path, ...]:
        """Every file of this name along the folders, the theme's own first."""
        return tuple(folder / name for folder in self.folders if (folder / name).is_file())

    def environment(self, part: str) -> Environment:
        """The templates of `site` or `book`; `standard/page.html` names the base's own."""
        from jinja2 import (
            ChoiceLoader,
            Environment,
            FileSystemLoader,
            PrefixLoader,
            StrictUndefined,
        )

        loaders = [FileSystemLoader(folder / part) for folder in self.folders]
        names = (folder.name for folder in self.folders)
        by_name = dict(zip(names, loaders, strict=True))
        return Environment(
            loader=ChoiceLoader([*loaders, PrefixLoader(by_name)]),
            bytecode_cache=_compiled_before(),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )

    @cached_property
    def fonts(self) -> tuple[Path, Path]:
        """The regular and the bold font."""
        return self.file(self.settings.type.regular), self.file(self.settings.type.bold)


def _compiled_before() -> BytecodeCache:
    """Templates as they were compiled last time: to compile them takes longer than to fill them."""
    from jinja2 import BytecodeCache
    from jinja2.bccache import Bucket

    cache = Cache(cache_folder())

    class Kept(BytecodeCache):
        def load_bytecode(self, bucket: Bucket) -> None:
            if code := cache.get(key_of("template", bucket.key, bucket.checksum)):
                bucket.bytecode_from_string(code)

        def dump_bytecode(self, bucket: Bucket) -> None:
            key = key_of("template", bucket.key, bucket.checksum)
            cache.put(key, bucket.bytecode_to_string())

    return Kept()


def themes_folder() -> Path:
    """The folder of the themes that come with resultsgen."""
    package = Path(__file__).parent
    inside, beside = package / "themes", package.parent / "themes"
    return inside if inside.is_dir() else beside


def theme_names() -> tuple[str, ...]:
    """The names of the themes that come with resultsgen."""
    return tuple(sorted(file.parent.name for file in themes_folder().glob("*/theme.toml")))


def find_theme(name: str, meet_folder: Path | None = None) -> Theme:
    """A theme by its name, or by its folder, inside the meet folder or anywhere."""
    folders: list[Path] = []
    told: list[dict[str, Any]] = []
    wanted = name
    while wanted:
        folder = _folder(wanted, folders[-1].parent if folders else meet_folder)
        if folder in folders:
            raise ThemeError(f"theme {name} is based on itself by way of {wanted}")
        folders.append(folder)
        told.append(_read(folder))
        wanted = told[-1].get("based-on", "" if folder == themes_folder() / STANDARD else STANDARD)
    return Theme(name, _settings(name, told), tuple(folders))


def _folder(name: str, beside: Path | None) -> Path:
    """The folder of a theme: a shipped one first, then one beside, then any path."""
    shipped = themes_folder() / name
    places = [shipped] if Path(name).name == name else []
    places += [beside / name] if beside else []
    for folder in (*places, Path(name)):
        if (folder / "theme.toml").is_file():
            return folder
    known = ", ".join(theme_names())
    raise ThemeError(f"there is no theme {name}; those that come along are {known}")


def _read(folder: Path) -> dict[str, Any]:
    try:
        return tomllib.loads((folder / "theme.toml").read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ThemeError(f"{folder / 'theme.toml'} cannot be read: {error}") from error


def _settings(name: str, told: list[dict[str, Any]]) -> ThemeSettings:
    """What the theme and all it is based on say together; its own word counts."""
    merged: dict[str, Any] = {}
    for one in reversed(told):
        merged = _merged(merged, one)
    merged.pop("based-on", None)
    try:
        return ThemeSettings.model_validate(merged)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise ThemeError(f"theme {name}, theme.toml: {where}: {first['msg']}") from error


def _merged(base: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """One table over another, table by table."""
    both = dict(base)
    for key, value in own.items():
        table = isinstance(value, dict) and isinstance(both.get(key), dict)
        both[key] = _merged(both[key], value) if table else value
    return both

"""The themes side by side: one meet built in each, and a page that shows them in frames."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from resultsgen.files.staging import staged
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.extras import Progress
from resultsgen.publishing.publish import publish
from resultsgen.theme.theme import STANDARD, Theme, find_theme, theme_names

STYLE = "gallery.css"


@dataclass(frozen=True)
class Shown:
    """One theme in the gallery."""

    name: str
    theme: Theme

    @property
    def swatches(self) -> tuple[tuple[str, str], ...]:
        """The colours by name, as they are by day."""
        return tuple(self.theme.settings.light.model_dump(by_alias=True).items())


def write_gallery(meet_folder: Path, out: Path, progress: Progress) -> int:
    """Build the meet's website in every theme, in a folder each; how many there are.

    MeetProblems and NotPublishedError as of a build; the gallery that was there stays then.
    """
    with staged(out, (meet_folder,)) as staging:
        shown = [Shown(name, find_theme(name)) for name in theme_names()]
        for number, one in enumerate(shown):
            progress("Building the themes", number, len(shown))
            options = BuildOptions(one.name, books=False)
            publish(meet_folder, staging.folder / one.name, options, lambda *_: None)
        _write_page(staging.folder, shown)
    return len(shown)


def _write_page(folder: Path, shown: list[Shown]) -> None:
    standard = find_theme(STANDARD)
    page = standard.environment("gallery").get_template("index.html")
    (folder / "index.html").write_text(page.render(shown=shown), encoding="utf-8", newline="\n")
    style = standard.file(f"gallery/{STYLE}").read_bytes()
    (folder / STYLE).write_bytes(style)

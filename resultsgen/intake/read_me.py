"""The README.md of a meet folder that was made from somebody's files."""

from __future__ import annotations

from collections.abc import Iterable

from resultsgen.intake.outline import Intake
from resultsgen.publishing.starter import STARTING_FOLDER

INVENTED = "Everything in it is invented. Change it to yours, then:"
"""What the README.md of the starting folder says of that folder alone."""


def read_me(names: list[str], seen: Intake) -> str:
    """That of the starting folder, with where marks are changed in this one."""
    text = (STARTING_FOLDER / "README.md").read_text(encoding="utf-8")
    sources = dict.fromkeys(one.partition("#")[0] for one in (*seen.roster, *seen.marks))
    said = f"""It was made from {_listed(names)}. Look at the lines *To decide* in `meet.toml`.

**Names and marks are read from {_listed(sources)}.** Write changes there, and build again: the page
of corrections says what was published otherwise."""
    if {*sources} - {*seen.copies}:
        said += """
A newer file may take the place of an older one of yours under the same name, with its headings
where they were."""
    if seen.copies:
        said += f"""

{_listed(seen.copies)}: written from your files, and read in their place. To begin with newer ones,
make another folder with `resultsgen new --from`, and take over what you changed in `meet.toml`."""
    text = text.replace(INVENTED, f"{said}\n\nThen:")
    gone = tuple(f"| `{name}` |" for name in ("roster.csv", "marks.csv") if name not in sources)
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith(gone))


def _listed(names: Iterable[str]) -> str:
    """Names as they are set in Markdown, whatever is in them.

    >>> _listed(["a`b.csv", "c.xlsx"])
    "`a'b.csv`, `c.xlsx`"
    """
    return ", ".join("`" + name.replace("`", "'") + "`" for name in names)

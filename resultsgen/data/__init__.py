"""What leaves as data: tables as CSV and in workbooks, the results as JSON, and running text."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from resultsgen.data.packing import CsvTable, Written, datapackage_text, workbooks
from resultsgen.data.running_text import running_texts
from resultsgen.data.tables import EXPORTS
from resultsgen.data.whole import SCHEMA, results_text, schema_text
from resultsgen.files.cache import Cache
from resultsgen.history.publication import Once
from resultsgen.history.records import Tree, competition_tree, record_text, tree
from resultsgen.language import LANGUAGES, to_say
from resultsgen.reading.publications import record_name
from resultsgen.scoring.results import Results
from resultsgen.views.site.attachments import Download, Title
from resultsgen.views.words.wording import wording


def write_exports(
    results: Results, folder: Path, cache: Path | None = None
) -> tuple[Download, ...]:
    """Write everything below `data/` in the folder, and say what can be downloaded."""
    tables = [table for export in EXPORTS.values() for table in export(results)]
    files = (
        *(_written(folder, table.file, table.title, table.text, table) for table in tables),
        _written(folder, "results.json", Title(to_say("The whole results")), results_text(results)),
    )
    write_records(results, folder)
    package = datapackage_text(results.meet.settings, files)
    describing = (
        _written(folder, SCHEMA, Title(to_say("What results.json holds")), schema_text()),
        _written(folder, "datapackage.json", Title(to_say("What the tables hold")), package),
    )
    whole = (*_for_people(results, tables, folder, Cache(cache)), *files, *describing)
    return tuple(Download(f"data/{one.file}", one.title, one.size) for one in whole)


def write_records(results: Results, folder: Path) -> None:
    """What each publication held, as what it changed of the one before."""
    before: Tree | None = None
    trees = Once(competition_tree)
    for issue in results.history.issues:
        held = tree(issue.publication, trees)
        file = f"publications/{record_name(issue.publication.number)}"
        _written(folder, file, Title(""), record_text(held, before))
        before = held


def _for_people(
    results: Results, tables: list[CsvTable], folder: Path, kept: Cache
) -> Iterator[Written]:
    """The same once more, as people want it: running text, and workbooks with all tables."""
    settings = results.meet.settings
    words = wording(settings, LANGUAGES[settings.languages[0]])
    for file, title, text in running_texts(results, words):
        yield _written(folder, file, title, text)
    titles = {judged.competition.id: judged.competition.title for judged in results.competitions}
    for file, title, book in workbooks(tables, titles, settings.title, kept):
        yield _written(folder, file, title, book)


def _written(
    folder: Path, file: str, title: Title, text: str | bytes, table: CsvTable | None = None
) -> Written:
    """Write a file below `data/`."""
    path = folder / "data" / file
    path.parent.mkdir(parents=True, exist_ok=True)
    content = text.encode("utf-8") if isinstance(text, str) else text
    path.write_bytes(content)
    return Written(file, title, len(content), sha256(content).hexdigest(), table)

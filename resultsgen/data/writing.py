"""What leaves as data: tables as CSV and in workbooks, the results as JSON, and running text."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from hashlib import sha256
from pathlib import Path

from resultsgen.data.packing import CsvTable, Written, datapackage_text, workbooks
from resultsgen.data.running_text import running_texts
from resultsgen.data.tables import EXPORTS
from resultsgen.data.whole import SCHEMA, results_text, schema_text
from resultsgen.files.cache import Cache
from resultsgen.files.once import Once
from resultsgen.files.staging import write
from resultsgen.history.publication import Publication
from resultsgen.history.records import record_text, tree
from resultsgen.language import LANGUAGES, to_say
from resultsgen.reading.publications import record_name
from resultsgen.scoring.results import Results
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.attachments import Download, Title
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.wording import wording


def write_exports(
    results: Results, folder: Path, cache: Path | None = None, before: Path | None = None
) -> tuple[Download, ...]:
    """Write everything below `data/` but the records, and say what can be downloaded.

    What is so in the folder *before* is taken over.
    """
    put = partial(_written, folder, before)
    tables = [table for export in EXPORTS.values() for table in export(results)]
    files = (
        *(put(table.file, table.title, table.text, table) for table in tables),
        put("results.json", Title(to_say("The whole results")), results_text(results)),
    )
    settings = results.meet.settings
    package = datapackage_text(
        settings.title, files, settings.base_url, settings.organiser, settings.printed_time,
        bibs_made=settings.bibs == "made",
    )  # fmt: skip
    describing = (
        put(SCHEMA, Title(to_say("What results.json holds")), schema_text()),
        put("datapackage.json", Title(to_say("What the tables hold")), package),
    )
    told = (put(*each) for each in _for_people(results, tables, Cache(cache)))
    whole = (*told, *files, *describing)
    return tuple(map(_offered, whole))


def _offered(one: Written) -> Download:
    """A file with what it is of: no table is of less than all of its competition."""
    of = one.file.partition("/")[0] if "/" in one.file else ""
    target = one.table.target if one.table else list_target(of, OVERVIEW) if of else ""
    return Download(f"data/{one.file}", one.title, one.size, target=target)


def write_records(results: Results, folder: Path, before: Path | None = None) -> None:
    """What each publication held, as what it changed of the one before."""
    last: Publication | None = None
    for issue in results.history.issues:
        file = f"publications/{record_name(issue.publication.number)}"
        _written(folder, before, file, Title(""), _record(issue.publication, last))
        last = issue.publication


_tree = Once(tree)


@Once
def _record(publication: Publication, last: Publication | None) -> str:
    """The record of a publication; a process that goes on writes each once."""
    return record_text(_tree(publication), _tree(last) if last else None)


def _for_people(
    results: Results, tables: list[CsvTable], kept: Cache
) -> Iterator[tuple[str, Title, str | bytes]]:
    """The same once more, as people want it: running text, and workbooks with all tables."""
    settings = results.meet.settings
    words = wording(settings, LANGUAGES[settings.languages[0]])
    yield from running_texts(results, words)
    titles = {judged.competition.id: judged.competition.title for judged in results.competitions}
    yield from workbooks(tables, titles, settings.title, kept)


def _written(
    folder: Path,
    before: Path | None,
    file: str,
    title: Title,
    text: str | bytes,
    table: CsvTable | None = None,
) -> Written:
    content = text.encode("utf-8") if isinstance(text, str) else text
    write(folder, f"data/{file}", content, before)
    return Written(file, title, len(content), sha256(content).hexdigest(), table)

"""Workbooks: the tables of each competition as sheets of one XLSX, marks as numbers.

Whoever wants a table in a spreadsheet wants the others of that competition beside it. Texts are
written as texts, so that no cell is a formula; nothing in the file tells when it was made. What
little of the format these sheets need is written here: a table of a large meet has a hundred
thousand cells, and there are many. Source: Office Open XML, ECMA-376 part 1 (SpreadsheetML), and
part 2 for the package.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from io import BytesIO
from itertools import count
from xml.sax.saxutils import escape
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from resultsgen import __version__
from resultsgen.data.packing import CsvTable
from resultsgen.files.cache import Cache, key_of
from resultsgen.language import to_say
from resultsgen.views.press.attachments import Title

LONGEST_NAME = 31
"""Of a sheet."""

WIDEST = 40
"""Characters, with five pixels beside them; a longer text runs out of its cell."""

HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
KINDS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml"

STYLES = (
    f'<styleSheet {MAIN}><numFmts count="1"><numFmt numFmtId="164" formatCode="0.000"/></numFmts>'
    '<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font>'
    '<font><b/><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill>'
    '<fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/>'
    '<xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
    '</cellXfs><cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
    "</styleSheet>"
)
"""Cells are plain (0), headings bold (1), marks with three decimals (2)."""

UNFIT = re.compile(r"[\x00-\x08\x0b\x0c\x0d\x0e-\x1f\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")
"""What XML cannot hold, and what would be read as the sign for it."""


def workbooks(
    tables: Iterable[CsvTable], titles: dict[str, str], meet: str, kept: Cache
) -> Iterator[tuple[str, Title, bytes]]:
    """File, title and content, one for each competition, by the titles of their ids; the meet's."""
    by_id: dict[str, list[CsvTable]] = {}
    for table in tables:
        by_id.setdefault(table.file.rpartition("/")[0], []).append(table)
    for id, of in {**titles, "": meet}.items():
        title = Title(to_say("all tables, a sheet each"), of)
        if id in by_id:
            yield f"{id}/{id}.xlsx" if id else "meet.xlsx", title, _kept(title, by_id[id], kept)


def _kept(title: Title, tables: list[CsvTable], kept: Cache) -> bytes:
    """The file; from what is kept, where the same tables have been written before."""
    key = key_of("workbook", __version__, *(f"{one.file}\n{one.text}" for one in tables))
    found = kept.get(key)
    if found is None:
        found = workbook_bytes(str(title), tables)
        kept.put(key, found)
    return found


def workbook_bytes(title: str, tables: list[CsvTable]) -> bytes:
    """A workbook with a sheet for each table."""
    texts: dict[str, int] = {}
    sheets = [_sheet(table, texts) for table in tables]
    numbers = range(1, len(sheets) + 1)
    names = [one.file.rpartition("/")[2].removesuffix(".csv")[:LONGEST_NAME] for one in tables]
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="rels"'
        ' ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Override PartName="/docProps/core.xml"'
        ' ContentType="application/vnd.openxmlformats-package.core-properties+xml"/>'
        + _content("workbook", "sheet.main")
        + _content("styles", "styles")
        + _content("sharedStrings", "sharedStrings")
        + "".join(_content(f"worksheets/sheet{n}", "worksheet") for n in numbers)
        + "</Types>",
        "_rels/.rels": _relations(
            (f"{KINDS}/officeDocument", "xl/workbook.xml"),
            (f"{PACKAGE}/relationships/metadata/core-properties", "docProps/core.xml"),
        ),
        "docProps/core.xml": f'<cp:coreProperties xmlns:cp="{PACKAGE}/metadata/core-properties"'
        f' xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title>{_fit(title)}</dc:title>'
        "</cp:coreProperties>",
        "xl/workbook.xml": f'<workbook {MAIN} xmlns:r="{KINDS}"><sheets>'
        + "".join(
            f'<sheet name="{_fit(name)}" sheetId="{n}" r:id="rId{n}"/>'
            for n, name in zip(numbers, names, strict=True)
        )
        + "</sheets></workbook>",
        "xl/_rels/workbook.xml.rels": _relations(
            *((f"{KINDS}/worksheet", f"worksheets/sheet{n}.xml") for n in numbers),
            (f"{KINDS}/styles", "styles.xml"),
            (f"{KINDS}/sharedStrings", "sharedStrings.xml"),
        ),
        "xl/styles.xml": STYLES,
        **{f"xl/worksheets/sheet{n}.xml": sheet for n, sheet in zip(numbers, sheets, strict=True)},
        "xl/sharedStrings.xml": f"<sst {MAIN}>" + "".join(map(_text, texts)) + "</sst>",
    }
    target = BytesIO()
    with ZipFile(target, "w", ZIP_DEFLATED) as package:
        for name, part in parts.items():
            package.writestr(ZipInfo(name), HEAD + part, ZIP_DEFLATED)
    return target.getvalue()


def _content(part: str, kind: str) -> str:
    return f'<Override PartName="/xl/{part}.xml" ContentType="{CONTENT}.{kind}+xml"/>'


def _relations(*each: tuple[str, str]) -> str:
    rows = (
        f'<Relationship Id="rId{n}" Type="{kind}" Target="{target}"/>'
        for n, (kind, target) in enumerate(each, start=1)
    )
    return f'<Relationships xmlns="{PACKAGE}/relationships">{"".join(rows)}</Relationships>'


def _fit(text: str) -> str:
    """A text as it may stand in XML."""
    return escape(UNFIT.sub(lambda found: f"_x{ord(found[0]):04X}_", text), {'"': "&quot;"})


def _text(text: str) -> str:
    return f'<si><t xml:space="preserve">{_fit(text)}</t></si>'


def _sheet(table: CsvTable, texts: dict[str, int]) -> str:
    """The headings, which stay in sight, and the rows; an empty cell stays empty."""
    letters = [_letters(number) for number in range(len(table.columns))]
    kinds = [column.type.column for column in table.columns.values()]
    lengths = [max(map(len, column)) for column in zip(table.columns, *table.rows, strict=True)]
    columns = (
        f'<col min="{n}" max="{n}" width="{min(longest + 2, WIDEST)}.71" customWidth="1"/>'
        for n, longest in enumerate(lengths, start=1)
    )
    heads = (
        f'<c r="{letter}1" s="1" t="s"><v>{texts.setdefault(name, len(texts))}</v></c>'
        for letter, name in zip(letters, table.columns, strict=True)
    )
    rows = [f'<row r="1">{"".join(heads)}</row>']
    for line, row in zip(count(2), table.rows):
        cells = []
        for letter, kind, cell in zip(letters, kinds, row, strict=True):
            if not cell:
                continue
            if kind == "number":
                cells.append(f'<c r="{letter}{line}" s="2"><v>{cell}</v></c>')
            elif kind == "integer":
                cells.append(f'<c r="{letter}{line}"><v>{cell}</v></c>')
            elif kind == "boolean":
                cells.append(f'<c r="{letter}{line}" t="b"><v>{int(cell == "true")}</v></c>')
            else:
                text = texts.setdefault(cell, len(texts))
                cells.append(f'<c r="{letter}{line}" t="s"><v>{text}</v></c>')
        rows.append(f'<row r="{line}">{"".join(cells)}</row>')
    return (
        f'<worksheet {MAIN}><sheetViews><sheetView workbookViewId="0"><pane ySplit="1"'
        ' topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
        f"<cols>{''.join(columns)}</cols><sheetData>{''.join(rows)}</sheetData></worksheet>"
    )


def _letters(number: int) -> str:
    """The name of a column: A to Z, AA ...

    >>> _letters(0), _letters(25), _letters(26), _letters(702)
    ('A', 'Z', 'AA', 'AAA')
    """
    more, rest = divmod(number, 26)
    return (_letters(more - 1) if more else "") + chr(ord("A") + rest)

"""Workbooks as no spreadsheet program writes them: small on paper, large when they are opened."""

from __future__ import annotations

from pathlib import Path
from xml.sax.saxutils import quoteattr
from zipfile import ZIP_DEFLATED, ZipFile

OFFICE = "http://schemas.openxmlformats.org"
TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
RELATIONS = f"{OFFICE}/officeDocument/2006/relationships"
ODF = "urn:oasis:names:tc:opendocument:xmlns"


def write_xlsx(path: Path, rows: str) -> None:
    """A workbook of one sheet with these rows, as they stand in its XML."""
    write_sheets(path, {"A": rows})


def write_sheets(path: Path, sheets: dict[str, str]) -> None:
    """A workbook of several, by their names, whatever these are."""
    numbered = dict(enumerate(sheets, start=1))
    parts = {number: f"sheet{number}.xml" for number in numbered}
    _write(
        path,
        {
            "[Content_Types].xml": f'<Types xmlns="{OFFICE}/package/2006/content-types">'
            '<Default Extension="rels" '
            'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{TYPE}.sheet.main+xml"/>'
            + "".join(
                f'<Override PartName="/xl/{part}" ContentType="{TYPE}.worksheet+xml"/>'
                for part in parts.values()
            )
            + "</Types>",
            "_rels/.rels": _relations("officeDocument", {1: "xl/workbook.xml"}),
            "xl/_rels/workbook.xml.rels": _relations("worksheet", parts),
            "xl/workbook.xml": f'<workbook xmlns="{OFFICE}/spreadsheetml/2006/main" '
            f'xmlns:r="{RELATIONS}"><sheets>'
            + "".join(
                f'<sheet name={_attribute(name)} sheetId="{number}" r:id="r{number}"/>'
                for number, name in numbered.items()
            )
            + "</sheets></workbook>",
        }
        | {
            f"xl/{part}": f'<worksheet xmlns="{OFFICE}/spreadsheetml/2006/main">'
            f"<sheetData>{sheets[numbered[number]]}</sheetData></worksheet>"
            for number, part in parts.items()
        },
    )


def _attribute(text: str) -> str:
    """Quoted, whatever the text is; its lines stay lines."""
    return quoteattr(text, {"\n": "&#10;", '"': "&quot;"})


def _relations(kind: str, targets: dict[int, str]) -> str:
    return (
        f'<Relationships xmlns="{OFFICE}/package/2006/relationships">'
        + "".join(
            f'<Relationship Id="r{number}" Type="{RELATIONS}/{kind}" Target="{target}"/>'
            for number, target in targets.items()
        )
        + "</Relationships>"
    )


def write_ods(path: Path, rows: str) -> None:
    """The same as ODS."""
    _write(
        path,
        {
            "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
            "META-INF/manifest.xml": f'<m:manifest xmlns:m="{ODF}:manifest:1.0"/>',
            "content.xml": f'<office:document-content xmlns:office="{ODF}:office:1.0" '
            f'xmlns:table="{ODF}:table:1.0" xmlns:text="{ODF}:text:1.0"><office:body>'
            f'<office:spreadsheet><table:table table:name="A">{rows}</table:table>'
            "</office:spreadsheet></office:body></office:document-content>",
        },
    )


def _write(path: Path, parts: dict[str, str]) -> None:
    with ZipFile(path, "w", ZIP_DEFLATED) as archive:
        for name, held in parts.items():
            archive.writestr(name, held)


def cell(where: str, text: str) -> str:
    """A cell of XLSX, as `cell("A1", "bib")`."""
    return f'<c r="{where}" t="inlineStr"><is><t>{text}</t></is></c>'


def repeated(text: str, rows: int, columns: int) -> str:
    """Rows of ODS in which every cell holds the same text."""
    return (
        f'<table:table-row table:number-rows-repeated="{rows}"><table:table-cell '
        f'table:number-columns-repeated="{columns}" office:value-type="string">'
        f"<text:p>{text}</text:p></table:table-cell></table:table-row>"
    )

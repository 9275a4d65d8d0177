"""Workbooks as spreadsheet programs write them, and as no one should."""

from __future__ import annotations

import zipfile
from pathlib import Path
from xml.sax.saxutils import escape

import openpyxl

SHEET = "xl/worksheets/sheet1.xml"
_NAMES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{urn}:1.0"'
    for name, urn in (("office", "office"), ("table", "table"), ("text", "text"), ("style", "style"),
                      ("fo", "xsl-fo-compatible"))
) + ' xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'  # fmt: skip
_MIME = "application/vnd.oasis.opendocument.spreadsheet"


def changed_parts(path: Path, changes: dict[str, tuple[bytes, bytes]]) -> Path:
    """Replace bytes inside of parts of a workbook; the first item of a change must be there."""
    with zipfile.ZipFile(path) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    for name, (old, new) in changes.items():
        assert old in parts[name]
        parts[name] = parts[name].replace(old, new, 1)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, data in parts.items():
            book.writestr(name, data)
    return path


def ods_cell(text: str = "", **attributes: str) -> str:
    """A cell; ``attributes`` are written with a colon for the first underscore and hyphens for others."""
    written = "".join(
        f' {name.replace("_", ":", 1).replace("_", "-")}="{escape(value)}"' for name, value in attributes.items()
    )
    inside = f"<text:p>{escape(text)}</text:p>" if text else ""
    return f"<table:table-cell{written}>{inside}</table:table-cell>"


def ods_text(text: str, **attributes: str) -> str:
    return ods_cell(text, office_value_type="string", **attributes)


def ods_number(value: float, shown: str = "", **attributes: str) -> str:
    return ods_cell(shown or f"{value:g}", office_value_type="float", office_value=f"{value!r}", **attributes)


def ods_row(*cells: str, repeated: int = 1) -> str:
    times = f' table:number-rows-repeated="{repeated}"' if repeated > 1 else ""
    return f"<table:table-row{times}>{''.join(cells)}</table:table-row>"


def ods(path: Path, sheets: dict[str, str], styles: str = "") -> Path:
    """Write an OpenDocument workbook of sheets, each given as its rows."""
    tables = "".join(
        f'<table:table table:name="{escape(name)}" table:style-name="of {escape(name)}">{rows}</table:table>'
        for name, rows in sheets.items()
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {_NAMES} office:version="1.3">'
        f"<office:automatic-styles>{styles}</office:automatic-styles>"
        f"<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("mimetype", _MIME)
        book.writestr("content.xml", content)
    return path


def as_ods(xlsx: Path) -> Path:
    """The workbook as a spreadsheet program would save it in the other format: values, not looks."""
    book = openpyxl.load_workbook(xlsx)
    sheets = {
        sheet.title: "".join(ods_row(*(_same(cell) for cell in row)) for row in sheet.iter_rows()) for sheet in book
    }
    return ods(xlsx.with_suffix(".ods"), sheets)


def _same(cell: object) -> str:
    value = getattr(cell, "value", None)
    if value is None:
        return ods_cell()
    if isinstance(value, int | float):
        return ods_number(value)
    return ods_text(str(value))

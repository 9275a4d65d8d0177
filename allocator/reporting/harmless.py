"""Text that no spreadsheet program takes for a formula when it opens a CSV file."""

from __future__ import annotations

import re
from typing import TypeVar

T = TypeVar("T")

MARK = "'"
_FORMULA = re.compile(r"\s*[=+\-@\t\n\uFF1D\uFF0B\uFF0D\uFF20]")
"""What begins one: also behind blanks, and as full-width letters, which some programs take for the same."""

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


def harmless(cell: T) -> T | str:
    """A cell as it is, or with an apostrophe before text that would be a formula; text that is a number stays.

    A carriage return becomes a line end: alone it is put in no quotation marks, and the next row would begin there.
    """
    if not isinstance(cell, str):
        return cell
    text = cell.replace("\r\n", "\n").replace("\r", "\n")
    return MARK + text if _FORMULA.match(text) and not _NUMBER.fullmatch(text) else text

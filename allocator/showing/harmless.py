"""Text that no spreadsheet program takes for a formula when it opens a CSV file."""

from __future__ import annotations

import re
from typing import TypeVar

T = TypeVar("T")

MARK = "'"
_FORMULA = re.compile(r"\s*[=+\-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20]")
"""What begins one: also behind blanks, and as full-width letters, which some programs take for the same."""

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


def harmless(cell: T) -> T | str:
    """A cell as it is, or with an apostrophe before text that would be a formula; text that is a number stays."""
    if isinstance(cell, str) and _FORMULA.match(cell) and not _NUMBER.fullmatch(cell):
        return MARK + cell
    return cell

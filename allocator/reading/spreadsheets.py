"""Workbooks as sheets of text, whatever their format; what is too large or damaged is refused."""

from __future__ import annotations

from types import ModuleType
from typing import TypeVar

from allocator.problem import Mistake, ProblemError
from allocator.reading.cells import Sheet, UnreadableBookError

T = TypeVar("T")

WORKBOOKS = (".xlsx", ".xlsm", ".ods", ".xls")
OTHER_WORKBOOKS = (".xlsb", ".numbers")
"""Kinds of workbooks that are not read."""

_ZIP, _OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
# a workbook with a password is a container of the old format with one stream in it that bears this name
_LOCKED = "EncryptedPackage".encode("utf-16-le")
_SAVE = "Open it in a spreadsheet program and save it as .xlsx without a password"


def is_workbook(data: bytes) -> bool:
    """Whether bytes are those of a workbook, by how they begin."""
    return data.startswith((_ZIP, _OLE))


def sheets_of(file: str, data: bytes) -> tuple[Sheet, ...]:
    """Every sheet of a workbook.

    Parameters
    ----------
    file
        What to call it in a message.
    data
        Its bytes: ``.xlsx``, ``.xlsm``, ``.ods`` or ``.xls``, by what they hold and not by its name.

    Raises
    ------
    ProblemError
        Where the bytes are no such workbook, or hold more than is read.
    """
    try:
        found: tuple[Sheet, ...] = _format_of(data).sheets(data)
    except Exception as error:
        raise _refusal(file, error) from None
    return found


def sheet_names(file: str, data: bytes) -> tuple[str, ...]:
    """Names of the sheets of a workbook.

    Raises
    ------
    ProblemError
        Where the bytes are no such workbook.
    """
    try:
        names: tuple[str, ...] = _format_of(data).names(data)
    except Exception as error:
        raise _refusal(file, error) from None
    return names


def _format_of(data: bytes) -> ModuleType:
    """The module that reads workbooks of this format."""
    from allocator.reading import sheets_ods, sheets_xls, sheets_xlsx, zips

    if data.startswith(_OLE):
        if _LOCKED in data:
            raise UnreadableBookError("is protected by a password", _SAVE)
        return sheets_xls
    if not data.startswith(_ZIP):
        raise UnreadableBookError("is not a workbook, whatever its name says", "Save it as .xlsx")
    entries = zips.ensure_small(data)
    if sheets_xlsx.BOOK in entries:
        return sheets_xlsx
    if sheets_ods.CONTENT in entries:
        return sheets_ods
    raise UnreadableBookError("is not a kind of workbook that can be read", _SAVE)


def _refusal(file: str, error: Exception) -> ProblemError:
    """What is said of a workbook that cannot be read.

    The libraries that read workbooks raise errors of every kind over one that is damaged, so all are caught.
    """
    if isinstance(error, UnreadableBookError):
        return ProblemError([Mistake(table=file, wrong=error.wrong, remedy=error.remedy)])
    wrong = f"cannot be read as a workbook ({type(error).__name__})"
    return ProblemError([Mistake(table=file, wrong=wrong, remedy=_SAVE)])

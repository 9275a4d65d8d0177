"""Files that are zip archives: how large they unpack is known before anything is unpacked."""

from __future__ import annotations

import zipfile
from io import BytesIO

from allocator.reading.cells import TO_SMALLER, UnreadableBookError

MOST_ENTRIES = 5_000
MOST_UNPACKED = 128 * 1024 * 1024
"""Bytes of text in a workbook; pictures do not count, as they are not read."""

MOST_PRESSED = 250
"""How many times smaller a part of a workbook may be packed. Sheets full of formatted empty cells come to 60."""

_SMALL = 1 << 20
_TEXT = (".xml", ".rels", ".vml")


def ensure_small(data: bytes) -> frozenset[str]:
    """Names in an archive whose text is sound and unpacks to what can be read.

    Raises
    ------
    UnreadableBookError
        Where it unpacks to more, or holds text that is damaged or that defines entities.
    zipfile.BadZipFile
        Where it is no archive.
    """
    with zipfile.ZipFile(BytesIO(data)) as archive:
        entries = archive.infolist()
        if len(entries) > MOST_ENTRIES:
            wrong = f"has {len(entries):,} parts, more than the {MOST_ENTRIES:,} that are read"
            raise UnreadableBookError(wrong, TO_SMALLER)
        texts = [entry for entry in entries if entry.filename.lower().endswith(_TEXT)]
        unpacked = sum(entry.file_size for entry in texts)
        pressed = any(e.file_size > max(_SMALL, MOST_PRESSED * e.compress_size) for e in texts)
        if unpacked > MOST_UNPACKED or pressed:
            wrong = f"unpacks to {unpacked >> 20:,} MB, which is too much to be read"
            raise UnreadableBookError(wrong, TO_SMALLER)
        for entry in texts:
            # read whole, so that a sum that is wrong is found; no workbook defines entities, which may grow without end
            if b"<!DOCTYPE" in archive.read(entry):
                wrong = f"defines a document type in its part '{entry.filename}', as no spreadsheet program does"
                raise UnreadableBookError(wrong, "Open it in a spreadsheet program and save it again")
        return frozenset(entry.filename for entry in entries)

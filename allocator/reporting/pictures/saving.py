"""Drawings as files: the same drawing gives the same file, byte for byte."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from allocator.reporting.pictures.drawing import Drawing
from allocator.reporting.pictures.painting import figure_of
from allocator.reporting.pictures.plainly import plainly
from allocator.writing.sealed import write_sealed

PNG_DPI = 144


def write(drawing: Drawing, path: Path) -> None:
    """Draw into a PNG or SVG file, as the ending of its name says; whole or not at all.

    Raises
    ------
    OutputError
        When there is a file that was not drawn here, or was edited since.
    OSError
        When the file cannot be written.
    """
    from matplotlib import rc_context

    kind = path.suffix.lower().removeprefix(".")
    stream = BytesIO()
    # no date in the file and no random names
    with plainly(), rc_context({"svg.hashsalt": "allocator"}):
        figure_of(drawing).savefig(stream, format=kind, dpi=PNG_DPI, metadata={"Date": None} if kind == "svg" else None)
    write_sealed(path, stream.getvalue())

"""Drawings as files: the same drawing gives the same file, byte for byte."""

from __future__ import annotations

from pathlib import Path

from allocator.showing.pictures.drawing import Drawing
from allocator.showing.pictures.painting import figure_of
from allocator.showing.pictures.plainly import plainly

PNG_DPI = 144


def write(drawing: Drawing, path: Path) -> None:
    """Draw into a PNG or SVG file, as the ending of its name says; whole or not at all.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    from matplotlib import rc_context

    part = path.with_name(f".{path.name}.part")
    kind = path.suffix.lower().removeprefix(".")
    try:
        # no date in the file and no random names
        with plainly(), rc_context({"svg.hashsalt": "allocator"}):
            figure_of(drawing).savefig(
                part, format=kind, dpi=PNG_DPI, metadata={"Date": None} if kind == "svg" else None
            )
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)

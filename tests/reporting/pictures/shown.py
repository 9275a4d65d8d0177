"""What tests look at in a drawing."""

from __future__ import annotations

from allocator.reporting.pictures.drawing import Drawing, Part


def parts(drawing: Drawing, kind: type[Part]) -> list:
    """Every part of a kind, from the lowest to the highest."""
    return [part for _, part in drawing.parts() if isinstance(part, kind)]

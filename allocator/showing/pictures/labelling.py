"""Names on a drawing, set where they hide nothing, each with a thin line to what it names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import TYPE_CHECKING, Any

from allocator.showing.pictures.marks import INK, QUIET

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Point = tuple[float, float]
Disc = tuple[float, float, float]
"""Centre and size of something that a name must not hide."""
LONGEST = 32
STEP = 8.0  # points along a name that is set, for the names after it


@dataclass(frozen=True, slots=True)
class Text:
    """A name and the point that it names; slanting names are set after all others."""

    x: float
    y: float
    name: str
    italic: bool = False


def label(
    axes: Axes, texts: Sequence[Text], taken: Sequence[Disc], lines: Sequence[tuple[Point, Point]], size: float
) -> None:
    """Write names into axes whose unit is a point, clear of discs, of lines and of each other where there is room."""
    from textalloc import allocate

    discs = list(taken)
    for italic in (False, True):
        own = [text for text in texts if text.italic is italic]
        if not own:
            continue
        kept_clear = [point for disc in discs for point in _rim(*disc)]
        found: Any = allocate(
            axes,
            [text.x for text in own],
            [text.y for text in own],
            [cut(text.name) for text in own],
            x_scatter=[x for x, _ in kept_clear],
            y_scatter=[y for _, y in kept_clear],
            x_lines=[[a[0], b[0]] for a, b in lines],
            y_lines=[[a[1], b[1]] for a, b in lines],
            textsize=size,
            textcolor=QUIET if italic else INK,
            fontstyle="italic" if italic else "normal",
            linecolor=QUIET,
            linewidth=0.6,
            margin=0.002,
            min_distance=0.008,
            max_distance=0.3,
            nbr_candidates=500,
            zorder=7,
        )
        _, _, written, drawn = found
        for text in written:
            box = text.get_window_extent()
            middle = (box.y0 + box.y1) / 2.0
            discs += [(box.x0 + STEP * n, middle, box.height) for n in range(int(box.width // STEP) + 1)]
        for line in drawn:
            if line is not None:
                line.set_clip_on(False)


def cut(name: str, longest: int = LONGEST) -> str:
    """A name cut to what there is room for."""
    return name if len(name) <= longest else f"{name[: longest - 1]}…"


def _rim(x: float, y: float, size: float) -> list[Point]:
    """A few points that stand for a disc: its centre and its rim."""
    rim = [(x + size / 2.0 * cos(n * pi / 4.0), y + size / 2.0 * sin(n * pi / 4.0)) for n in range(8)]
    return [(x, y), *rim]

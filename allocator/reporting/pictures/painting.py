"""A drawing as a matplotlib figure, for files: PNG, and SVG whose letters need no font."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from allocator.reporting.pictures.drawing import Disc, Drawing, Line, Outline, Words
from allocator.reporting.pictures.marks import PAPER
from allocator.reporting.pictures.plainly import plainly

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.figure import Figure

_CAPS: dict[str, Literal["butt", "projecting", "round"]] = {"butt": "butt", "round": "round", "square": "projecting"}
_ACROSS = {"start": "left", "middle": "center", "end": "right"}


@plainly()
def figure_of(drawing: Drawing) -> Figure:
    """A figure of the size of the drawing, in which every part is an artist."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(drawing.width / 72.0, drawing.height / 72.0), dpi=72, facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set(xlim=(0.0, drawing.width), ylim=(drawing.height, 0.0))
    for n, (id_, part) in enumerate(drawing.parts()):
        artist = _artist(part)
        artist.set(zorder=n, gid=id_ or None)
        axes.add_artist(artist)
        artist.set_clip_on(False)
    return figure


def _artist(part: Line | Outline | Disc | Words) -> Artist:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Circle, Polygon
    from matplotlib.text import Text

    if isinstance(part, Line):
        dash = (0.0, tuple(length / part.width for length in part.dash))  # matplotlib counts in widths of the line
        return Line2D(
            *zip(*part.points, strict=True), color=part.colour, linewidth=part.width,
            linestyle=dash if part.dash else "-", solid_capstyle=_CAPS[part.cap],
        )  # fmt: skip
    if isinstance(part, Outline):
        return Polygon(part.points, facecolor=part.fill, edgecolor=part.edge, linewidth=part.width)
    if isinstance(part, Disc):
        return Circle(part.at, part.radius, facecolor=part.fill, edgecolor=part.edge, linewidth=part.width)
    return Text(
        *part.at, part.text, fontsize=part.size, color=part.colour, ha=_ACROSS[part.anchor],
        va="baseline", fontweight="bold" if part.bold else "normal", fontstyle="italic" if part.italic else "normal",
        rotation=90.0 if part.turned else 0.0, rotation_mode="anchor",
    )  # fmt: skip

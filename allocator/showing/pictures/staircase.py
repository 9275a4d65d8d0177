"""A trade-off as a staircase of points."""

from __future__ import annotations

from typing import TYPE_CHECKING

from allocator.advising.tradeoff import Tradeoff
from allocator.showing.pictures.marks import PAPER
from allocator.showing.pictures.plainly import plainly
from allocator.showing.tradeoffs import count_of, counted_as

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@plainly()
def staircase(tradeoff: Tradeoff) -> Figure:
    """Copper over what is counted: proven points are full, others are rings."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.ticker import MaxNLocator

    figure = Figure(figsize=(7.0, 4.5), layout="constrained", facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    counts = [count_of(tradeoff, point) for point in tradeoff.points]
    copper = [point.copper_g for point in tradeoff.points]
    axes.step(counts, copper, where="post", color="0.6", linewidth=1.0)
    for proven, filled, label in ((True, "black", "proven"), (False, "white", "not proven")):
        own = [(n, g) for n, g, p in zip(counts, copper, tradeoff.points, strict=True) if p.proven is proven]
        if own:
            axes.plot(*zip(*own, strict=True), "o", color="black", markerfacecolor=filled, label=label)
    axes.set_xlabel(counted_as(tradeoff))
    axes.set_ylabel("copper in g")
    axes.set_title(tradeoff.problem)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    if counts:
        axes.legend(frameon=False)
    return figure

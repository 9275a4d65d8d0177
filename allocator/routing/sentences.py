"""Why nothing joins two places, in words."""

from __future__ import annotations

from collections.abc import Iterable

from allocator.problem import Line
from allocator.routing.graph import Graph


def why_none(graph: Graph, start: str, end: str, line: Line, closed: Iterable[str]) -> str:
    """Why no wire, or cable, gets from one place to another, and what to do.

    Parameters
    ----------
    graph
        Places and what joins them.
    start, end
        Names of the two places.
    line
        Whether it is a wire or a cable.
    closed
        Names of the segments on the shortest way that are for the other line only; none where there is no way.
    """
    head = f"No route from '{start}' to '{end}'"
    without = " and ".join(f"'{name}'" for name in (start, end) if not graph.links[name])
    if graph.direct:
        return f"{head}: no x, y and z for {without}. Give them in the places, or give segments."
    if without:
        return f"{head}: no segment ends at {without}. Add one."
    if names := list(closed):
        other = Line.WIRE if line is Line.CABLE else Line.CABLE
        return (
            f"{head}: the shortest way passes {_listed(names)}, for {other}s only, and no other way is open to "
            f"{line}s. Let {line}s pass there, or add a segment that is open to them."
        )
    return f"{head}: no chain of segments joins them. Add the segment that is missing."


def _listed(names: list[str]) -> str:
    others = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return ", ".join(f"'{name}'" for name in names[:3]) + others

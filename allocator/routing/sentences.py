"""Sentences on the network: why nothing joins two places, and what was left out of the routes."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Set as AbstractSet

from allocator.problem import Line
from allocator.routing.graph import Graph
from allocator.routing.routes import MOST_ROUTES


def why_none(graph: Graph, start: str, end: str, line: Line, closed: Iterable[str]) -> str:
    """Why no wire, or cable, gets from one place to another, and what to do.

    ``closed`` are the segments on the shortest way that are for the other line only; none where there is no way.
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


def capped(start: str, places: AbstractSet[str], around: AbstractSet[str]) -> str:
    """Which routes from a place were kept where they were more than `MOST_ROUTES`.

    ``places`` are those where some were left out, ``around`` the segments that ways round were sought for.
    """
    kept = "cooler, with other insulation asked for, or crossing a bulkhead less often than all of them"
    if around:
        kept += f", or going round one of these segments where all of them pass it: {_listed(sorted(around))}"
    return (
        f"Routes from '{start}' to or by way of {_listed(sorted(places))}: the {MOST_ROUTES} shortest were kept, "
        f"and longer ones only where {kept}."
    )


def _listed(names: list[str]) -> str:
    others = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return ", ".join(f"'{name}'" for name in names[:3]) + others

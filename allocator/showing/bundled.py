"""Bundles on the terminal: how warm the wires of each segment get together, the warmest first."""

from __future__ import annotations

from math import isfinite

from allocator.checking.bundles import Bundle, Warmth, bundles_of
from allocator.checking.context import Context
from allocator.problem import Bundling, Problem
from allocator.showing.blocks import Block, Column, Paragraph, Table, counted, number

SHOWN = 5
"""How many segments are shown where not all are."""

_LYING = (
    Column(heading="segment"),
    Column(heading="wires", number=True),
    Column(heading="cables\nbeside", number=True),
    Column(heading="mm\nacross", number=True),
)
_HEAT = (
    Column(heading="W/m", number=True),
    Column(heading="may be", number=True),
    Column(heading="use", number=True),
    Column(heading="in"),
)
_TABLE = (
    Column(heading="stated", number=True),
    Column(heading="loaded", number=True),
    Column(heading="stated\nto be", number=True),
    Column(heading="in"),
)
_NONE = (
    Column(heading="loaded", number=True),
    Column(heading="in"),
    Column(heading="factor by\nthe table", number=True),
    Column(heading="wires\nbelow it", number=True),
)
_HEADED = {
    Bundling.HEAT: ("Warmest bundles", _HEAT),
    Bundling.TABLE: ("Fullest bundles", _TABLE),
    Bundling.NONE: ("Fullest bundles", _NONE),
}


def in_order(context: Context) -> tuple[Bundle, ...]:
    """Segments that hold a line, the warmest first, then by their highest loading; those with cables alone last."""
    return tuple(sorted(bundles_of(context), key=_rank))


def _rank(bundle: Bundle) -> tuple[float, float, int]:
    warmest = bundle.warmest
    return (-warmest.share if warmest is not None else 0.0, -bundle.fullest[1], bundle.segment)


def bundled(context: Context, *, in_full: bool = False) -> tuple[Block, ...]:
    """A table of segments by how bundles are held: heat, what is stated, or the table for comparison alone.

    Nothing without any; ``in_full`` shows every segment. Columns in which nothing stands are left out.
    """
    found = in_order(context)
    if not found:
        return ()
    how = context.problem.margins.bundle
    shown = found if in_full else found[:SHOWN]
    title, columns = _HEADED[how]
    rows = tuple((*_lying(one), *_held(context.problem, one)) for one in shown)
    kept = [n for n in range(len(_LYING) + len(columns)) if any(row[n] for row in rows)]
    rest = len(found) - len(shown)
    said = f"{counted(rest, 'more segment')}, none {'warmer' if how is Bundling.HEAT else 'fuller'}"
    more = (Paragraph(f"{said}: the list of bundles has all."),) if rest else ()
    table = Table(
        title=title,
        columns=tuple((*_LYING, *columns)[n] for n in kept),
        rows=tuple(tuple(row[n] for n in kept) for row in rows),
    )
    return (table, *more)


def use(warmth: Warmth) -> str:
    """Share of the heat allowed, in percent."""
    return f"{number(100.0 * warmth.share, 0)} %" if isfinite(warmth.share) else "none left"


def _lying(bundle: Bundle) -> tuple[str, ...]:
    across = number(bundle.diameter_mm, 1) if bundle.wires else ""
    return bundle.name, f"{bundle.wires}", f"{bundle.cables or ''}", across


def _held(problem: Problem, bundle: Bundle) -> tuple[str, ...]:
    match problem.margins.bundle:
        case Bundling.HEAT:
            return _heat(bundle)
        case Bundling.TABLE:
            return _stated(problem, bundle)
        case Bundling.NONE:
            return _compared(bundle)


def _heat(bundle: Bundle) -> tuple[str, ...]:
    warmest = bundle.warmest
    if warmest is None:
        return ("",) * len(_HEAT)
    heat = number(warmest.heat_w_m + warmest.worst_w_m, 1)
    return heat, number(warmest.allowed_w_m, 1), use(warmest), warmest.condition


def _stated(problem: Problem, bundle: Bundle) -> tuple[str, ...]:
    wires, loading = problem.stated_of(problem.segments[bundle.segment])
    condition, share = bundle.fullest
    if not bundle.wires:
        return f"{wires}", "", "", ""
    return f"{wires}", _percent(share), _percent(loading), condition


def _compared(bundle: Bundle) -> tuple[str, ...]:
    condition, share = bundle.fullest
    if not bundle.wires:
        return ("",) * len(_NONE)
    return _percent(share), condition, number(bundle.published), f"{len(bundle.below) or ''}"


def _percent(share: float) -> str:
    return f"{number(100.0 * share, 0)} %"

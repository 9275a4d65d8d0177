"""Bundles on the terminal: how warm the wires of each segment get together, the warmest first."""

from __future__ import annotations

from math import isfinite

from allocator.evaluation.bundle_figures import Bundle, Warmth, bundles_of
from allocator.evaluation.context import Context
from allocator.problem import Bundling, Problem
from allocator.reporting.blocks import Block, Paragraph, counted, number
from allocator.table import Row, Table, count, figure, text

SHOWN = 5
"""How many segments are shown where not all are."""

_LYING = (text("segment"), count("wires"), count("cables\nbeside"), figure("mm\nacross", digits=1))
_HEAT = (figure("W/m", digits=1), figure("may be", digits=1), text("use", right=True), text("in"))
_TABLE = (count("stated"), text("loaded", right=True), text("stated\nto be", right=True), text("in"))
_NONE = (text("loaded", right=True), text("in"), figure("factor by\nthe table"), count("wires\nbelow it"))
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
    rest = len(found) - len(shown)
    said = f"{counted(rest, 'more segment')}, none {'warmer' if how is Bundling.HEAT else 'fuller'}"
    more = (Paragraph(f"{said}: the list of bundles has all."),) if rest else ()
    return (Table(title=title, columns=(*_LYING, *columns), rows=rows).filled(), *more)


def use(warmth: Warmth) -> str:
    """Share of the heat allowed, in percent."""
    return f"{number(100.0 * warmth.share, 0)} %" if isfinite(warmth.share) else "none left"


def _lying(bundle: Bundle) -> Row:
    return bundle.name, bundle.wires, bundle.cables or None, bundle.diameter_mm if bundle.wires else None


def _held(problem: Problem, bundle: Bundle) -> Row:
    match problem.margins.bundle:
        case Bundling.HEAT:
            return _heat(bundle)
        case Bundling.TABLE:
            return _stated(problem, bundle)
        case Bundling.NONE:
            return _compared(bundle)


def _heat(bundle: Bundle) -> Row:
    warmest = bundle.warmest
    if warmest is None:
        return (None,) * len(_HEAT)
    return warmest.heat_w_m + warmest.worst_w_m, warmest.allowed_w_m, use(warmest), warmest.condition


def _stated(problem: Problem, bundle: Bundle) -> Row:
    wires, loading = problem.stated_of(problem.segments[bundle.segment])
    condition, share = bundle.fullest
    if not bundle.wires:
        return wires, None, None, None
    return wires, _percent(share), _percent(loading), condition


def _compared(bundle: Bundle) -> Row:
    condition, share = bundle.fullest
    if not bundle.wires:
        return (None,) * len(_NONE)
    return _percent(share), condition, bundle.published, len(bundle.below) or None


def _percent(share: float) -> str:
    return f"{number(100.0 * share, 0)} %"

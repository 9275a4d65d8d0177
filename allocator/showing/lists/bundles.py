"""Bundles: what lies together in each segment, how thick it is, and what it leaves to a wire."""

from __future__ import annotations

from math import ceil, pi

from allocator.checking.loading import Bundle, bundles_of
from allocator.problem import Problem
from allocator.showing.lists.build import Build
from allocator.showing.lists.table import Listing, Row, count, figure, listing, text

COLUMNS = (
    text("from"),
    text("to"),
    text("bulkhead"),
    figure("length", "m"),
    count("wires"),
    count("wires with a current"),
    figure("area of wires", "mm2", 1),
    figure("diameter", "mm", 1),
    figure("sleeve", "mm", 0),
    figure("sleeve filled", "%", 0),
    figure("loading", "%", 0),
    text("loaded in"),
    figure("column", "%", 0),
    figure("factor", "", 3),
)

NOTE = (
    "Diameter: that of a round bundle of twice the area of its wires, insulation included; wires of any sizes fit "
    "into it (Fekete, Keldenich and Scheffer 2019, from memory), tape and sleeve come on top. Sleeve: the next "
    "whole millimetre. Loading: the current of all wires against what they may carry together. Column and factor "
    "(MIL-W-5088L): of the bundle table, where bundles count."
)


def bundles(build: Build) -> Listing:
    """Each segment that has any wire, in the order of the problem."""
    rows = (_row(build.problem, bundle) for bundle in bundles_of(build.context))
    return listing("bundles", "Bundles by segment", COLUMNS, rows, NOTE)


def _row(problem: Problem, bundle: Bundle) -> Row:
    segment = problem.segments[bundle.segment]
    condition, loading = bundle.fullest
    sleeve_mm = ceil(bundle.diameter_mm - 1e-9)
    return (
        segment.start,
        segment.end,
        segment.bulkhead or "",
        segment.length_m,
        bundle.cores,
        bundle.wires,
        bundle.filled_mm2,
        bundle.diameter_mm,
        float(sleeve_mm),
        100.0 * bundle.filled_mm2 / (pi / 4.0 * sleeve_mm**2) if sleeve_mm else None,
        100.0 * loading,
        condition,
        None if bundle.column is None else 100.0 * bundle.column,
        bundle.factor,
    )

"""Bundles: what lies together in each segment, how thick it is, and how warm it gets."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, pi

from allocator.evaluation.bundle_figures import Bundle, bundles_of
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.table import JOIN, Row, Table, count, figure, text

COLUMNS = (
    text("from"),
    text("to"),
    text("bulkhead"),
    figure("length", "m"),
    count("wires"),
    count("cables beside"),
    figure("area of wires", "mm2", 1),
    figure("diameter", "mm", 1),
    figure("sleeve", "mm", 0),
    figure("sleeve filled", "%", 0),
    figure("heat", "W/m", 1),
    figure("heat allowed", "W/m", 1),
    figure("share of allowed", "%", 0),
    text("warmest in"),
    text("hottest wire"),
    figure("loading", "%", 0),
    text("loaded in"),
    figure("published factor", "", 3),
    count("wires below it"),
    text("which"),
)

NOTE = (
    "Wires lie in the bundle, cables are tied beside it. Diameter: that of a round bundle of twice the area of its "
    "wires, insulation included; wires of any sizes fit into it (Fekete, Keldenich and Scheffer 2019, from memory), "
    "tape and sleeve come on top. Sleeve: the next whole millimetre, for the wires without the cables. Heat: all wires "
    "at what they carry, the hottest at its trip, in the warmest condition; the list bundle-heat has all conditions. "
    "A wire on its own is limited by its ampacity. Loading: the current of all wires against what they may carry "
    "together. Published factor (MIL-W-5088L, for comparison): of the ampacity of a wire alone, at this number of "
    "wires and this loading; below it are wires whose trip or fuse is above that."
)

HEAT_COLUMNS = (
    text("segment"),
    text("condition"),
    count("wires"),
    figure("heat", "W/m", 2),
    figure("hottest at its trip adds", "W/m", 2),
    figure("heat allowed", "W/m", 2),
    figure("share of allowed", "%", 1),
    figure("rise", "K", 1),
    figure("rise allowed", "K", 1),
    text("hottest wire"),
)

HEAT_NOTE = (
    "Heat: what all wires of the bundle give at what they carry; with what the hottest adds at its trip it stays below "
    "what is allowed. Rise: how far that wire gets above the ambient of the segment then, every allowance counted; "
    "measured, it is less. For an open harness in still air, not for foam or closed conduit."
)


def bundles(build: Build) -> Table:
    """Each segment that has any line, in the order of the problem."""
    rows = (_row(build, bundle) for bundle in bundles_of(build.context))
    return listing("bundles", "Bundles by segment", COLUMNS, rows, NOTE)


def bundle_heat(build: Build) -> Table:
    """Each bundle of two wires or more in each condition; nothing where bundles do not go by heat."""
    rows = (row for bundle in bundles_of(build.context) for row in _by_condition(build, bundle))
    return listing("bundle-heat", "Heat of the bundles by condition", HEAT_COLUMNS, rows, HEAT_NOTE)


def _row(build: Build, bundle: Bundle) -> Row:
    segment = build.problem.segments[bundle.segment]
    return (
        segment.start,
        segment.end,
        segment.bulkhead or "",
        segment.length_m,
        bundle.wires,
        bundle.cables,
        *(_thickness(bundle) if bundle.wires else [None] * 4),
        *_warmest(build, bundle),
        *(_loading(build, bundle) if bundle.wires else (None, "", None, None, "")),
    )


def _thickness(bundle: Bundle) -> Row:
    sleeve_mm = ceil(bundle.diameter_mm - 1e-9)
    filled = 100.0 * bundle.filled_mm2 / (pi / 4.0 * sleeve_mm**2) if sleeve_mm else None
    return bundle.filled_mm2, bundle.diameter_mm, float(sleeve_mm), filled


def _warmest(build: Build, bundle: Bundle) -> Row:
    one = bundle.warmest
    if one is None:
        return None, None, None, "", ""
    total = one.heat_w_m + one.worst_w_m
    return total, one.allowed_w_m, 100.0 * one.share, one.condition, build.label_of(one.hottest)


def _loading(build: Build, bundle: Bundle) -> Row:
    condition, loading = bundle.fullest
    which = JOIN.join(map(build.label_of, dict.fromkeys(bundle.below)))
    return 100.0 * loading, condition, bundle.published, len(bundle.below), which


def _by_condition(build: Build, bundle: Bundle) -> Iterator[Row]:
    for one in bundle.warmth:
        yield (
            bundle.name,
            one.condition,
            bundle.wires,
            one.heat_w_m,
            one.worst_w_m,
            one.allowed_w_m,
            100.0 * one.share,
            one.rise_k,
            one.most_k,
            build.label_of(one.hottest),
        )

"""Tables of the page that can be sorted and filtered; columns in which nothing stands are left out."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from math import isfinite

from allocator.analysis.failures import Failures
from allocator.analysis.margins import LayoutMargins
from allocator.evaluation.bundle_figures import Bundle
from allocator.evaluation.network_volts import NetworkVolts
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting import records
from allocator.reporting.failing import told_of
from allocator.reporting.loaded import LoadedOutput
from allocator.reporting.records import Record
from allocator.reporting.runs import Stretch
from allocator.reporting.weak_points import rounded
from allocator.reporting.without_derating import BESIDE
from allocator.table import Table, count, figure, keyed, table_of, text

_NOT_OF_FEEDS = {"role", "circuit", "pin", "loads", "contacts", "trip_a"}
_FAILURES = (
    text("failure"), count("loads in all", key="all"), count("loads at once", key="once"),
    figure("current then", "A", key="current_a"), text("in"), text("functions gone", key="gone"),
    text("functions degraded", key="degraded"), text("which loads", key="loads"),
)  # fmt: skip
_STRETCHES = (
    *keyed("from", "to", "bulkhead", "length_m"), count("wires"), count("cables beside"),
    *keyed("bundle_mm", "copper_g_m", "heat_w_m", "allowed_w_m", "heat_percent", "in", "hottest wire"),
    *keyed("loading_percent"),
)  # fmt: skip
_OUTPUTS = keyed("pin", "bank", "class", "feeds", "rating_a", "may_use_a", "full_a", "trip_a")


def circuits(problem: Problem, layout: Layout) -> Table:
    """Every circuit, direct loads too, with the user's own columns."""
    return records.circuits(layout, problem).filled()


def wires(layout: Layout, beside: AbstractSet[str] = frozenset()) -> Table:
    """Every piece of wire to cut but the feeds; ``beside`` are labels of cables that lie beside a bundle."""
    own = [{**one, "lies": _lies(one, beside)} for one in records.wires(layout).records() if one["role"] != "feed"]
    return table_of((*records.WIRES, text("lies")), own, name="wires", title="Wires").filled()


def _lies(wire: Record, beside: AbstractSet[str]) -> str:
    return BESIDE if wire["label"] in beside else ""


def feeds(layout: Layout, beside: AbstractSet[str] = frozenset()) -> Table:
    """The feed of each unit, with the unit's site and its current in each condition."""
    units = records.units(layout)
    of_unit = {one["unit"]: {**one, "drop_percent": one["feed_drop_percent"]} for one in units.records()}
    laid = [one for one in records.wires(layout).records() if one["role"] == "feed"]
    own = [{**one, **of_unit[one["unit"]], "lies": _lies(one, beside)} for one in laid]
    columns = (
        *(column for column in records.WIRES if column.key not in _NOT_OF_FEEDS),
        *keyed("lies", "drop_percent"),
        *(column for column in units.columns if column not in records.UNITS),
    )
    return table_of(columns, own, name="feeds", title="Feeds").filled()


def volts(found: NetworkVolts) -> Table:
    """Volts at each load in each condition."""
    return replace(rounded(found.table()), name="volts", title="Volts at the loads").filled()


def margins(found: LayoutMargins) -> Table:
    """What is left at each wire."""
    return replace(rounded(found.wire_table()), name="margins", title="Margins of every wire").filled()


def failures(found: Failures) -> Table:
    """Every single failure that takes anything."""
    every = map(told_of, found.worst(len(found.failures)))
    return table_of(_FAILURES, every, name="failures", title="Single failures").filled()


def stretches(found: Sequence[Stretch]) -> Table:
    """What lies in each stretch between two places; heat where bundles go by it."""
    own: list[Record] = [
        {
            "from": one.start,
            "to": one.end,
            "bulkhead": one.bulkhead,
            "length_m": one.length_m,
            **_lying(one),
            "copper_g_m": one.copper_g_m,
            **_warmth(one.bundle),
        }
        for one in found
    ]
    return table_of(_STRETCHES, own, name="stretches", title="Stretches of harness").filled()


def _lying(one: Stretch) -> Record:
    """Wires in the bundle and cables beside it; all of them where the check knows of no bundle there."""
    bundle = one.bundle
    if bundle is None:
        return {"wires": one.wires, "cables beside": None, "bundle_mm": None}
    return {
        "wires": bundle.wires,
        "cables beside": bundle.cables,
        "bundle_mm": bundle.diameter_mm if bundle.wires else None,
    }


def _warmth(bundle: Bundle | None) -> Record:
    """Heat of the warmest condition against what is allowed, and the highest loading."""
    warmest = None if bundle is None else bundle.warmest
    loading = bundle.fullest[1] if bundle is not None and bundle.wires else None
    return {
        "heat_w_m": None if warmest is None else warmest.heat_w_m + warmest.worst_w_m,
        "allowed_w_m": None if warmest is None else warmest.allowed_w_m,
        "heat_percent": None if warmest is None or not isfinite(warmest.share) else 100.0 * warmest.share,
        "in": "" if warmest is None else warmest.condition,
        "hottest wire": "" if warmest is None else warmest.hottest,
        "loading_percent": None if loading is None else 100.0 * loading,
    }


def outputs(id_: str, unit: str, found: Sequence[LoadedOutput], conditions: Sequence[str]) -> Table:
    """The outputs of one unit: the figures behind its strip.

    Parameters
    ----------
    id_
        Id of the table in the page.
    unit
        Name of the unit.
    found
        Its outputs with what they carry.
    conditions
        Names of the operating conditions.
    """
    rows = (
        (
            one.pin,
            one.bank,
            one.output_class,
            one.feeds or f"({one.state})",
            one.rating_a,
            one.allowed_a,
            one.full_a or None,
            one.trip_a,
            *one.current_a,
        )
        for one in found
    )
    columns = (*_OUTPUTS, *keyed(*(f"current_a {name}" for name in conditions)))
    return Table(name=id_, title=f"Outputs of unit {unit}", columns=columns, rows=tuple(rows)).filled()

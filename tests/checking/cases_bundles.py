"""Cases of the rules on bundles, direct loads, given wires, starts and short circuits."""

from __future__ import annotations

from typing import Any

from allocator.layout import DirectCircuit, Feed, FittedUnit, GivenRun, PlacedWire
from allocator.problem import Bundling, GivenWire, Line, Place, Segment, Source, Supply
from allocator.wiring import BundledWire, Surroundings, ampacity_a, bundle_factor, bundle_heat, withstand_a2s
from tests.checking.builders import (
    BRANCH,
    CABLE,
    SEGMENTS,
    Case,
    back,
    box,
    circuit,
    heavy,
    layout,
    light,
    load,
    out,
    places,
    problem,
    replace,
)


def row(size: str):
    """The row of 100 degC of either table."""
    return next(one for one in (*BRANCH.wires, *CABLE.wires) if one.size == size)


WINCH = load("winch", current_a=20.0, supply=Supply.DIRECT)
TWO_SOURCES = (Source(name="battery", place="battery"), Source(name="starter", place="battery"))


def winched(source: str = "", **changes: Any) -> tuple:
    """The lamp on its unit, a winch at the rear on the first of two sources."""
    winch = DirectCircuit(load="winch", source=source, wires=(PlacedWire(role="any", size="6 mm2"),))
    return problem(load(), WINCH, sources=TWO_SOURCES), layout(direct=(replace(winch, **changes),))


def started(fuse_a: float) -> tuple:
    """The winch with a start of 60 A for 0.1 s, for which a fuse appears twice its rating."""
    winch = replace(WINCH, inrush_a=60.0, inrush_s=0.1)
    _, there = winched(fuse_a=fuse_a)
    return problem(load(), winch, sources=TWO_SOURCES), there


def bundled(*currents_a: float, size: str = "2.5 mm2", **margins: Any) -> tuple:
    """Lamps at the rear in wires of one size: all in one bundle from the front on."""
    loads = [load(f"lamp{n}", current_a=a) for n, a in enumerate(currents_a, start=1)]
    circuits = [circuit(one.name, f"a{n}", size) for n, one in enumerate(loads, start=1)]
    return problem(*loads, margins={"branch_drop": 0.2, **margins}), layout(*circuits)


HEAT = {"bundle": Bundling.HEAT}


def over_heat_w_m(size: str, *carried_a: tuple[float, float]) -> float:
    """What wires of one size give above what they may, each with its current and trip."""
    wires = [BundledWire(row(size), current, trip) for current, trip in carried_a]
    return bundle_heat(wires, Surroundings(45.0, 100.0, allowance=0.8)).excess_w_m


def table(wires: int, loading: float) -> dict[str, Any]:
    """Bundles by the table, with the most wires and the loading stated for all."""
    return {"bundle": Bundling.TABLE, "bundle_wires": wires, "bundle_loading": loading}


def beside(size: str) -> tuple:
    """A lamp whose return runs beside the feed, from the front to the battery."""
    lamp = circuit(wires=(out(size="2.5 mm2"), back(size=size)))
    there = problem(load(current_a=7.0, return_to="source"), margins={**HEAT, "branch_drop": 0.2})
    return there, layout(lamp)


BEARS = 0.825 * 0.8 * ampacity_a(row("0.5 mm2"), 45.0)
LOADED = 12.0 / (2 * 0.8 * ampacity_a(row("1 mm2"), 45.0) * bundle_factor(2, 0.4))


def closed(*way: str) -> tuple:
    """A lamp at the rear, to which there are two ways; cables alone may pass the one by the middle."""
    segments = tuple(replace(s, only=Line.CABLE) if s.end == "middle" else s for s in ROUND)
    wires = (out(route=("front", *way, "rear")), back())
    there = problem(segments=segments, places=(*places(), Place(name="side")))
    return there, layout(circuit(wires=wires))


WAKE = GivenWire(name="wake", start="battery", end="rear", size="1 mm2", cores=2, current_a=3.0)
ROUND = (*SEGMENTS, Segment(start="front", end="side", length_m=1.5), Segment(start="side", end="rear", length_m=1.5))


def given(*runs: GivenRun, current_a: float = 3.0, **changes: Any) -> tuple:
    """A wake wire of two cores from the battery to the rear, where there are two ways."""
    wake = replace(WAKE, current_a=current_a)
    there = problem(given_wires=(wake,), segments=ROUND, places=(*places(), Place(name="side")), **changes)
    return there, layout(given=runs)


def run(**changes: Any) -> GivenRun:
    return GivenRun(**{"wire": "wake", "size": "1 mm2", "cores": 2, **changes})


def starting(inrush_a: float, fuse_a: float | None = None) -> tuple:
    """A lamp of 4 A that starts with more for 0.1 s, on an output that gives 20 A for 0.2 s."""
    peaked = box(outputs=(light(peaks=((20.0, 0.2), (12.0, 5.0))), heavy()))
    feed = Feed(size="6 mm2", fuse_a=fuse_a)
    units = (FittedUnit(name="main", site="front", feed=feed),)
    return problem(load(inrush_a=inrush_a, inrush_s=0.1), unit_types=(peaked,)), layout(units=units)


def shorted(retries: int) -> tuple:
    """A small lamp on 0.5 mm2, behind an output that gives 100 A for 0.1 s before it trips."""
    peaked = box(outputs=(light(peaks=((100.0, 0.1),), retries=retries), heavy()))
    return problem(load(current_a=2.0), unit_types=(peaked,)), layout(circuit(size="0.5 mm2"))


CASES = {
    "direct source": Case(good=winched(), bad=winched("starter"), object="direct load winch", amount=1, unit="source"),
    "given wire": Case(good=given(run()), bad=given(run(cores=4)), object="given wire wake", amount=2, unit="cores"),
    "given route": Case(
        good=given(run(route=("battery", "front", "middle", "rear"))),
        bad=given(run(route=("battery", "front", "side", "rear"))),
        object="given wire wake",
        amount=1.0,
        unit="m",
    ),
    "given insulation": Case(
        good=given(run(insulation_c=100.0)),
        bad=given(run(insulation_c=125.0)),
        object="given wire wake",
        amount=25.0,
        unit="K",
    ),
    "given ampacity": Case(
        good=given(current_a=14.0),
        bad=given(current_a=18.0),
        object="given wire wake",
        amount=18.0 - 0.8 * ampacity_a(row("1 mm2"), 45.0),
        unit="A",
    ),
    "start current": Case(good=starting(20.0), bad=starting(20.5), object="circuit lamp", amount=0.5, unit="A"),
    # for 0.1 s a fuse of 5 A stands 10 A, one of 7.5 A stands 15 A
    "feed start": Case(
        good=starting(14.0, fuse_a=7.5),
        bad=starting(14.0, fuse_a=5.0),
        object="feed of unit main, start of lamp",
        amount=4.0,
        unit="A",
    ),
    "direct start": Case(
        good=started(fuse_a=30.0), bad=started(fuse_a=25.0), object="direct load winch", amount=10.0, unit="A"
    ),
    "short circuit": Case(
        good=shorted(retries=1),
        bad=shorted(retries=2),
        object="circuit lamp, out wire",
        amount=3000.0 - withstand_a2s(row("0.5 mm2")),
        unit="A2s",
    ),
    "closed segment": Case(
        good=closed("side"), bad=closed("middle"), object="circuit lamp, out wire", amount=1, unit="segments"
    ),
    "bundle heat": Case(
        good=bundled(7.0, 7.0, **HEAT),
        bad=bundled(7.0, 7.0, size="0.5 mm2", **HEAT),
        object="segment middle - rear",
        amount=over_heat_w_m("0.5 mm2", (7.0, 9.0), (7.0, 9.0)),
        unit="W/m",
    ),
    "wire beside cable": Case(
        good=beside("1 mm2"),
        bad=beside("0.5 mm2"),
        object="circuit lamp, return wire",
        amount=9.0 - BEARS,
        unit="A",
    ),
    "stated wires": Case(
        good=bundled(4.0, 4.0, **table(2, 0.6)),
        bad=bundled(4.0, 4.0, **table(1, 0.6)),
        object="segment middle - rear",
        amount=1,
        unit="wires",
    ),
    "stated loading": Case(
        good=bundled(6.0, 6.0, **table(2, 0.6)),
        bad=bundled(6.0, 6.0, size="1 mm2", **table(2, 0.4)),
        object="segment middle - rear",
        amount=LOADED - 0.4,
        unit="of the ampacity",
    ),
}

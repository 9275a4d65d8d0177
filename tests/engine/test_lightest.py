"""Every wire that the engine chose is the lightest that passes: each lighter size in its place is refused.

Outgoing wires of a circuit change together, for they have to be of one size. The check is given decisions alone, so it
deals contacts anew for the wire that was made lighter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random

from allocator.checking import check
from allocator.layout import HAND_MADE, OPTIMAL, Circuit, DirectCircuit, Layout, PlacedWire
from allocator.problem import Problem, Supply, WireTable
from allocator.search.solve import solve
from tests.engine.damages import decisions
from tests.engine.draws import ALL, SMALL, TINY, draw

DRAWN = [(TINY, seed) for seed in range(3000, 3080)] + [(SMALL, seed) for seed in range(3100, 3150)]


def with_starts(seed: int, problem: Problem) -> Problem:
    """The draw with some loads fused at the source, and some that start with more than they draw."""
    rng = Random(seed)
    loads = list(problem.loads)
    for n, load in enumerate(loads):
        started = rng.random() < 0.3
        if started:
            times, seconds = rng.choice((1.3, 2.1, 4.3)), rng.choice((0.03, 0.2, 7.0))
            load = replace(load, inrush_a=load.current_a * times, inrush_s=seconds, stall_a=None)
        free = not load.needs and load.share is None and load.together is None and load.unit is None
        if free and n > 0 and rng.random() < 0.4:
            load = replace(load, supply=Supply.DIRECT)
        loads[n] = load
    return replace(problem, loads=tuple(loads))


def lighter(table: WireTable, size: str) -> list[str]:
    area = {wire.size: wire.area_mm2 for wire in table.wires}
    return [other for other in area if area[other] < area[size]]


def lighter_wires(problem: Problem, wires: tuple[PlacedWire, ...], *, both: bool) -> Iterator[tuple[PlacedWire, ...]]:
    """The wires with all outgoing ones, or one return, of a lighter size; ``both`` tables of wire to choose from."""
    tables = (problem.wires, problem.feed_wires) if both else (problem.wires,)
    areas = {wire.size: wire.area_mm2 for table in tables for wire in table.wires}
    out = [n for n, wire in enumerate(wires) if wire.role != "return"]
    for changed in (out, *([n] for n, wire in enumerate(wires) if wire.role == "return")):
        if not any(wires[n].copper_g for n in changed):
            continue  # of no length: nothing to be saved
        for size, area in areas.items():
            if changed and area < areas[wires[changed[0]].size]:
                yield tuple(replace(wire, size=size) if n in changed else wire for n, wire in enumerate(wires))


def lighter_layouts(problem: Problem, layout: Layout) -> Iterator[tuple[str, Layout]]:
    for n, circuit in enumerate(layout.circuits):
        for wires in lighter_wires(problem, circuit.wires, both=False):
            yield "circuit", replace(layout, circuits=_with(layout.circuits, n, replace(circuit, wires=wires)))
    for n, direct in enumerate(layout.direct):
        for wires in lighter_wires(problem, direct.wires, both=True):
            yield "direct", replace(layout, direct=_with_direct(layout.direct, n, replace(direct, wires=wires)))
    for n, unit in enumerate(layout.units):
        for size in lighter(problem.feed_wires, unit.feed.size) if unit.feed and unit.feed.copper_g else ():
            changed = replace(unit, feed=replace(unit.feed, size=size))
            yield "feed", replace(layout, units=(*layout.units[:n], changed, *layout.units[n + 1 :]))


def _with(circuits: tuple[Circuit, ...], n: int, changed: Circuit) -> tuple[Circuit, ...]:
    return (*circuits[:n], changed, *circuits[n + 1 :])


def _with_direct(circuits: tuple[DirectCircuit, ...], n: int, changed: DirectCircuit) -> tuple[DirectCircuit, ...]:
    return (*circuits[:n], changed, *circuits[n + 1 :])


def test_every_lighter_size_in_place_of_a_chosen_one_is_refused() -> None:
    tried, taken = Counter[str](), []
    for size, seed in DRAWN:
        problem = with_starts(seed, draw(seed, size, ALL))
        layout = solve(problem)
        if layout.status != OPTIMAL:
            continue
        whole = decisions(layout)
        assert whole.status == HAND_MADE
        assert check(problem, whole).violations == (), seed
        for kind, changed in lighter_layouts(problem, layout):
            tried[kind] += 1
            if check(problem, decisions(changed)).clean:
                taken.append(f"seed {seed}: a lighter {kind} wire passes")
    assert taken == []
    assert min(tried[kind] for kind in ("circuit", "direct", "feed")) >= 10

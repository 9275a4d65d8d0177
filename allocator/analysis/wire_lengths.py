"""Wire by size: pieces, metres and copper of branches, feeds and given wires."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from allocator.layout import Feed, GivenRun, Layout, PlacedWire

BRANCH, FEED, GIVEN = "branch", "feed", "given"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLength:
    """All wire of one size and insulation class for one use (branch, feed or given)."""

    use: str
    size: str
    insulation_c: float | None
    pieces: int
    length_m: float
    copper_g: float


def lengths(layout: Layout) -> tuple[SizeLength, ...]:
    """What to buy: branches, feeds, given wires, each from thin to thick. What is not known counts for nothing."""
    branches = [wire for circuit in layout.circuits for wire in circuit.wires]
    branches += [wire for direct in layout.direct for wire in direct.wires]
    return (
        *_sizes(BRANCH, [(wire, 1) for wire in branches]),
        *_sizes(FEED, [(unit.feed, 1) for unit in layout.units if unit.feed is not None]),
        *_sizes(GIVEN, [(given, given.cores) for given in layout.given]),
    )


def _sizes(use: str, wires: Iterable[tuple[PlacedWire | Feed | GivenRun, int]]) -> Iterator[SizeLength]:
    """One entry per size and insulation of (wire, number of cores)."""
    groups: dict[tuple[str, float | None], list[tuple[PlacedWire | Feed | GivenRun, int]]] = defaultdict(list)
    for wire, cores in wires:
        groups[wire.size, wire.insulation_c].append((wire, cores))
    sums = [
        SizeLength(
            use=use,
            size=size,
            insulation_c=insulation,
            pieces=sum(cores for _, cores in group),
            length_m=sum((wire.length_m or 0.0) * cores for wire, cores in group),
            copper_g=sum(wire.copper_g or 0.0 for wire, _ in group),
        )
        for (size, insulation), group in groups.items()
    ]
    yield from sorted(sums, key=_thickness)


def _thickness(one: SizeLength) -> tuple[float, float, str]:
    return round(one.copper_g / one.length_m if one.length_m else 0.0, 1), one.insulation_c or 0.0, one.size

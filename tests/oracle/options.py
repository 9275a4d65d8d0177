"""What may be chosen: named outputs for every circuit, a route and size for every feed."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, combinations
from math import ceil, floor

from allocator.problem import Bundling, Cables, Line, Load, Problem, Supply, Unit
from tests.oracle.bundles import Lying, all_do_for
from tests.oracle.drops import Losing
from tests.oracle.physics import feed_capacity_ma, fuse_heat_a2s, fuses_of, withstands
from tests.oracle.routes import ways
from tests.oracle.sharing import shared
from tests.oracle.stock import Laid, Need, laid
from tests.oracle.wirings import Spot, single, worth_having


@dataclass(frozen=True)
class Option:
    """A circuit on named outputs of a named unit at a site."""

    loads: tuple[str, ...]
    unit: str
    site: str
    bank: str | None
    class_name: str
    pins: tuple[str, ...]
    cost_mg: int
    needs: tuple[Need, ...]
    cut: tuple[frozenset[str], ...]
    studs: tuple[str | None, ...]
    lines: tuple[Lying, ...] = ()
    left_v: tuple[float, ...] = ()
    losing: tuple[tuple[Losing, ...], ...] = ()


@dataclass(frozen=True)
class FeedOption:
    """A feed of a named unit at a site behind a fuse, and how it lies."""

    unit: str
    site: str
    cost_mg: int
    capacity_ma: int
    bulkheads: tuple[str, ...]
    fuse_a: float
    lines: tuple[Lying, ...] = ()


def milligrams(grams: float) -> int:
    """Grams that are whole milligrams."""
    whole = round(1000 * grams)
    if abs(1000 * grams - whole) > 1e-6:
        raise ValueError(f"{grams} g is no whole number of milligrams")
    return whole


def heating_ma(load: Load, condition: int) -> int:
    """What a load adds to unit, bank, feed and stud in a condition."""
    return ceil(1000 * load.current_a * load.heating(condition) - 1e-6)


def spread_ma(load: Load, condition: int) -> int:
    """By how much that may be exceeded."""
    return ceil(1000 * load.current_a * load.heating(condition) * load.spread - 1e-6)


def limit_ma(amperes: float) -> int:
    """A limit in whole milliamperes."""
    return floor(1000 * amperes + 1e-6)


def site_share(problem: Problem, unit: Unit, site: str) -> float | None:
    """Share of the ratings that is left at the site; None where the unit may not sit there at all."""
    kind, place = problem.unit_type[unit.type], problem.place[site]
    ambient = problem.place_ambient_c(site)
    if (place.wet and not kind.sealed) or (kind.hot and ambient > kind.hot[-1][0]):
        return None
    return kind.hot_share(ambient)


def spots(problem: Problem) -> Iterator[Spot]:
    """Every class of outputs of every unit at every site."""
    for unit in problem.units:
        for site in unit.sites:
            share = site_share(problem, unit, site)
            if share is not None:
                for outputs in problem.unit_type[unit.type].outputs:
                    yield Spot(unit.name, site, outputs, share, problem.source[unit.source].place)


def groups(problem: Problem) -> list[tuple[Load, ...]]:
    """Every set of loads that may be one circuit."""
    supplied = [load for load in problem.loads if load.supply == Supply.UNIT]
    words = sorted({load.share for load in supplied if load.share is not None})
    alike = [[load for load in supplied if load.share == word] for word in words]
    sets = [combinations(loads, n) for loads in alike for n in range(2, len(loads) + 1)]
    return [*((load,) for load in supplied), *chain.from_iterable(sets)]


def options(problem: Problem) -> list[Option]:
    """All that a circuit may be, output by output, wired there and back.

    Raises
    ------
    ValueError
        For what is only weighed half by half, in ``parts``: direct loads and given wires.
    """
    if problem.given_wires or any(load.supply == Supply.DIRECT for load in problem.loads):
        raise ValueError("direct loads and given wires are for CP-SAT alone")
    found: list[Option] = []
    for spot in spots(problem):
        for loads in groups(problem):
            ways_to = single(problem, loads[0], spot) if len(loads) == 1 else shared(problem, loads, spot)
            for wiring in worth_having(ways_to):
                cost = wiring.copper_mg + wiring.splices * milligrams(problem.prices.splice_g)
                for pins in combinations(spot.outputs.pins, wiring.outputs):
                    if all(as_pinned(load, spot.unit, pins) for load in loads):
                        found.append(
                            Option(
                                tuple(load.name for load in loads),
                                spot.unit,
                                spot.site,
                                spot.outputs.bank,
                                spot.outputs.name,
                                pins,
                                cost,
                                wiring.needs,
                                wiring.cut,
                                wiring.studs,
                                wiring.lines,
                                wiring.left_v,
                                wiring.losing,
                            )
                        )
    return found


def as_pinned(load: Load, unit: str, pins: tuple[str, ...]) -> bool:
    """Whether a load may be on these outputs of the unit."""
    return load.unit in (None, unit) and (load.output is None or load.output in pins)


def feeds(problem: Problem) -> list[FeedOption]:
    """All that a feed may be."""
    return [
        option
        for unit in problem.units
        for site in unit.sites
        if site_share(problem, unit, site) is not None
        for way in ways(problem, problem.source[unit.source].place, site, (Line.CABLE,))
        for cable in laid(problem, Line.CABLE, way, way.length_m + problem.margins.tail_m)
        for option in fused(problem, unit.name, site, cable)
    ]


@lru_cache(maxsize=1)
def feeds_worth_laying(problem: Problem) -> tuple[FeedOption, ...]:
    """All but those in whose place another of the same unit and site does at no more copper."""
    kept: dict[tuple[str, str], list[FeedOption]] = defaultdict(list)
    for feed in sorted(feeds(problem), key=lambda f: (f.cost_mg, -f.capacity_ma, -f.fuse_a)):
        here = kept[feed.unit, feed.site]
        if not any(_serves(other, feed) for other in here):
            here.append(feed)
    return tuple(chain.from_iterable(kept.values()))


def _serves(a: FeedOption, b: FeedOption) -> bool:
    """Whether it does in place of another of the same unit and site that costs no less."""
    return (
        a.capacity_ma >= b.capacity_ma
        and a.fuse_a >= b.fuse_a
        and Counter(a.bulkheads) <= Counter(b.bulkheads)
        and all_do_for(a.lines, b.lines)
    )


def fused(problem: Problem, unit: str, site: str, cable: Laid) -> list[FeedOption]:
    """A cable behind its largest fuse; in a bundle behind each, for the less its fuse is the less it may warm it.

    What a feed in bundles may carry is told before its layout: they are taken to be as warm as their allowance lets
    them, and no cooler.
    """
    margins = problem.margins
    fuses = [fuse for fuse in fuses_of(cable.ampacity_a) if withstands(cable.wire, fuse_heat_a2s(fuse))]
    warms = margins.bundle is Bundling.HEAT and margins.cables is Cables.INSIDE
    ambient, body = cable.way.ambient_c, None
    if warms and cable.way.segments:
        body = ambient + margins.ampacity**1.5 * (cable.wire.insulation_c - ambient)
    return [
        FeedOption(
            unit,
            site,
            cable.copper_mg,
            feed_capacity_ma(
                cable.wire,
                cable.length_m,
                ambient,
                cable.ampacity_a,
                fuse,
                margins.fuse_use,
                margins.feed_drop * problem.running_v,
                body,
            ),
            cable.way.bulkheads,
            fuse,
            cable.lying(problem, 1, fuse, ()),
        )
        for fuse in (fuses if warms else fuses[-1:])
    ]

"""Every way to wire one load, or a set of loads that share an output, from a class of outputs of a unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from allocator.problem import CHASSIS, SOURCE, Load, OutputClass, Problem
from tests.oracle.physics import at_most
from tests.oracle.routes import Way, ways
from tests.oracle.stock import Laid, Need, branches, contacts


@dataclass(frozen=True)
class Spot:
    """Outputs of one class of a unit at a site."""

    unit: str
    site: str
    outputs: OutputClass
    share: float
    source_place: str

    @property
    def rating_a(self) -> float:
        """Continuous rating that the heat of the site leaves."""
        return self.outputs.continuous_a * self.share


@dataclass(frozen=True)
class Wiring:
    """One way to wire a circuit: ``outputs`` used, what it costs, what it crosses, and where it ends."""

    outputs: int
    copper_mg: int
    splices: int
    needs: tuple[Need, ...]
    cut: tuple[frozenset[str], ...]
    studs: tuple[str | None, ...]


def worth_having(found: Iterator[Wiring]) -> list[Wiring]:
    """All but those that cost as much as another of the same circuit and cross all that it crosses."""
    kept: list[Wiring] = []
    for wiring in sorted(found, key=lambda w: (w.copper_mg, len(w.needs))):
        if not any(_crosses_no_more(other, wiring) for other in kept):
            kept.append(wiring)
    return kept


def _crosses_no_more(a: Wiring, b: Wiring) -> bool:
    fewer = Counter(a.needs) <= Counter(b.needs)
    return fewer and all(mine <= other for mine, other in zip(a.cut, b.cut, strict=True))


def single(problem: Problem, load: Load, spot: Spot) -> Iterator[Wiring]:
    """Every way to feed one load alone."""
    outputs, current = spot.outputs, load.full_current_a
    if not set(load.needs) <= set(outputs.capabilities):
        return
    use = spot.rating_a * problem.margins.output_use
    many = 1 if load.bridge else outputs.parallel
    shares = [1.0 if k == 1 else k * outputs.parallel_use for k in range(1, many + 1)]
    enough = [(k, share) for k, share in enumerate(shares, 1) if at_most(current, share * use)]
    if not enough:
        return
    parallel, share = enough[0]
    trip = least_trip(problem, spot, (load,), parallel, current / share)
    if trip is None:
        return
    taken = 2 if load.bridge else parallel
    for way, length in outgoing(problem, load, spot.site):
        for out in branches(problem, way, length, trip):
            crossed = contacts(problem, out, current / parallel)
            if crossed is None or not fits(outputs, out):
                continue
            volts = out.volts(current / parallel) + crossed[1] * current / parallel
            volts *= 2 if load.bridge else 1
            for back, needs, back_volts in returns(problem, load, spot, trip * parallel):
                if at_most(volts + back_volts, volts_allowed(problem, load)):
                    yield Wiring(
                        outputs=taken,
                        copper_mg=taken * out.copper_mg + (0 if back is None else back.copper_mg),
                        splices=0,
                        needs=crossed[0] * taken + needs,
                        cut=(frozenset(name for name, _ in crossed[0] + needs),),
                        studs=(stud(problem, load),),
                    )


def least_trip(
    problem: Problem, spot: Spot, loads: tuple[Load, ...], parallel: int, current_a: float
) -> float | None:
    """The least setting of each output, if it is one that the output and the loads bear."""
    outputs = spot.outputs
    settings = outputs.trips_a
    if outputs.trip_step_a is not None:
        steps = int(outputs.continuous_a / outputs.trip_step_a + 1e-9)
        settings = tuple(n * outputs.trip_step_a for n in range(1, steps + 1))
    good = [t for t in settings if at_most(problem.margins.trip * current_a, t)]
    if not good or not at_most(min(good), spot.rating_a):
        return None
    whole = parallel * min(good)
    for load in loads:
        if load.max_trip_a is not None and not at_most(whole, load.max_trip_a):
            return None
        if load.stall_a is not None and whole >= load.stall_a:
            return None
    return min(good)


def fits(outputs: OutputClass, piece: Laid) -> bool:
    """Whether the terminal takes the wire: 0.5 % of tolerance on the area."""
    low, high = outputs.wire_mm2
    return low * 0.995 <= piece.wire.area_mm2 <= high * 1.005


def measured(problem: Problem, load: Load, site: str) -> float | None:
    """Length of the run measured between a load, or its item, and a site."""
    for name in (load.name, load.item):
        for run in problem.runs:
            if run.load == name and run.site == site:
                return run.length_m
    return None


def outgoing(problem: Problem, load: Load, site: str) -> list[tuple[Way, float]]:
    """Ways from the site to the load, with the length of wire along each."""
    found, run = ways(problem, site, load.place), measured(problem, load, site)
    if run is not None:
        return [(found[0], run)]
    return [(w, max(0.0, w.length_m + problem.margins.tail_m - load.lead_m)) for w in found]


def volts_allowed(problem: Problem, load: Load) -> float:
    """Drop that the branch of a load may have."""
    margins = problem.margins
    share = margins.branch_drop if load.max_drop is None else load.max_drop
    allowed = share * problem.running_v
    if load.min_volts_v is not None:
        allowed = min(allowed, problem.lowest_v - margins.feed_drop * problem.running_v - load.min_volts_v)
    return allowed


def ground(problem: Problem, load: Load, source_place: str) -> str | None:
    """Where the return of a load ends; None for a lead to the chassis where there are no studs."""
    if load.return_to == SOURCE:
        return source_place
    if load.return_to != CHASSIS:
        return load.return_to
    studs = [p.name for p in problem.places if p.stud_a is not None]
    nearness = [(ways(problem, load.place, name)[0].length_m, name) for name in studs]
    return min(nearness)[1] if nearness else None


def stud(problem: Problem, load: Load) -> str | None:
    """The place whose stud the return of a load ends at."""
    if load.bridge or load.return_to == SOURCE:
        return None
    end = ground(problem, load, "")
    return end if end is not None and problem.place[end].stud_a is not None else None


def returns(
    problem: Problem, load: Load, spot: Spot, trip_a: float
) -> Iterator[tuple[Laid | None, tuple[Need, ...], float]]:
    """Every return wire that bears the trip, the contacts it needs, and its drop."""
    if load.bridge:
        yield None, (), 0.0
        return
    end, current = ground(problem, load, spot.source_place), load.full_current_a
    if end is None:
        here = ways(problem, load.place, load.place)[0]
        found = [(here, problem.margins.ground_lead_m)]
    else:
        found = [(w, w.length_m + problem.margins.tail_m) for w in ways(problem, load.place, end)]
    for way, length in found:
        for piece in branches(problem, way, length, trip_a):
            crossed = contacts(problem, piece, current)
            if crossed is not None:
                yield piece, crossed[0], piece.volts(current) + crossed[1] * current


def best_returns(
    problem: Problem, loads: tuple[Load, ...], spot: Spot, trip_a: float, left: list[float]
) -> Iterator[tuple[tuple[Laid, tuple[Need, ...]], ...]]:
    """Every choice of a return for each of several loads that keeps each within the volts it has left."""
    each: list[list[tuple[Laid, tuple[Need, ...]]]] = []
    for load, volts in zip(loads, left, strict=True):
        cheap: dict[object, tuple[Laid, tuple[Need, ...]]] = {}
        for piece, needs, drop in returns(problem, load, spot, trip_a):
            if piece is None or not at_most(drop, volts):
                continue
            if needs not in cheap or piece.copper_mg < cheap[needs][0].copper_mg:
                cheap[needs] = (piece, needs)
        each.append(list(cheap.values()))
    yield from product(*each)

"""Every way to wire one load, or a set of loads that share an output, from a class of outputs of a unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from allocator.problem import CHASSIS, SOURCE, Line, Load, OutputClass, Problem
from tests.oracle.bundles import Lying, all_do_for
from tests.oracle.drops import Losing
from tests.oracle.physics import at_most
from tests.oracle.routes import Way, ways
from tests.oracle.stock import Duty, Laid, Need, branches, contacts


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

    def duty(self, trip_a: float, parallel: int = 1) -> Duty:
        """What a wire bears behind a trip; a return behind the sum of the trips of a parallel group.

        A short circuit is broken by the trip as often as it is tried again, and lets through its peaks until then.
        """
        worst = max((amperes**2 * seconds for amperes, seconds in self.outputs.peaks), default=0.0)
        return Duty(trip_a * parallel, (1 + self.outputs.retries) * worst * parallel**2)


@dataclass(frozen=True)
class Half:
    """The outgoing wires of a circuit, and what is left for the return of each of its loads.

    ``lines`` is how the outgoing wires lie, ``losing`` which of them each load may lose more on, in bundles;
    ``back`` is what each return must bear.
    """

    outputs: int
    copper_mg: int
    splices: int
    needs: tuple[Need, ...]
    cut: tuple[frozenset[str], ...]
    studs: tuple[str | None, ...]
    left_v: tuple[float, ...]
    lines: tuple[Lying, ...]
    losing: tuple[tuple[Losing, ...], ...]
    back: Duty


@dataclass(frozen=True)
class Wiring:
    """One way to wire a circuit: ``outputs`` used, what it costs, what it crosses, where it ends, how its wires lie.

    ``left_v`` is what each load may still lose when its wires, those of ``losing``, are warmed by others.
    """

    outputs: int
    copper_mg: int
    splices: int
    needs: tuple[Need, ...]
    cut: tuple[frozenset[str], ...]
    studs: tuple[str | None, ...]
    lines: tuple[Lying, ...] = ()
    left_v: tuple[float, ...] = ()
    losing: tuple[tuple[Losing, ...], ...] = ()


def worth_having(found: Iterator[Wiring]) -> list[Wiring]:
    """All but those in whose place another does: no dearer, crossing and losing no more, lying alike."""
    kept: list[Wiring] = []
    for wiring in sorted(found, key=lambda w: (w.copper_mg, len(w.needs))):
        if not any(_crosses_no_more(other, wiring) for other in kept):
            kept.append(wiring)
    return kept


def _crosses_no_more(a: Wiring, b: Wiring) -> bool:
    fewer = Counter(a.needs) <= Counter(b.needs)
    cut_off = all(mine <= other for mine, other in zip(a.cut, b.cut, strict=True))
    # what no bundle warms has been held against its limit
    no_more = a.losing == b.losing and (
        not any(a.losing) or all(mine >= other for mine, other in zip(a.left_v, b.left_v, strict=True))
    )
    return fewer and cut_off and no_more and all_do_for(a.lines, b.lines)


def carried(problem: Problem, loads: Sequence[Load], parallel: int = 1) -> tuple[float, ...]:
    """What one of so many alike wires carries in each condition, loads with their whole spread."""
    return tuple(
        sum(load.full_current_a * load.heating(m) for load in loads) / parallel for m in range(len(problem.conditions))
    )


def single(problem: Problem, load: Load, spot: Spot) -> Iterator[Wiring]:
    """Every way to feed one load alone."""
    for half in single_out(problem, load, spot):
        for back, needs, volts in returns(problem, load, spot, half.back):
            if at_most(volts, half.left_v[0]):
                yield Wiring(
                    outputs=half.outputs,
                    copper_mg=half.copper_mg + (0 if back is None else back.copper_mg),
                    splices=0,
                    needs=half.needs + needs,
                    cut=(half.cut[0] | {name for name, _ in needs},),
                    studs=half.studs,
                    lines=half.lines + lying_back(problem, load, back, half.back),
                    left_v=(half.left_v[0] - volts,),
                    losing=(half.losing[0] + losing_back(problem, load, back),),
                )


def lying_back(problem: Problem, load: Load, back: Laid | None, duty: Duty) -> tuple[Lying, ...]:
    """How the return of a load lies, if it has one."""
    return () if back is None else back.lying(problem, 1, duty.trip_a, carried(problem, [load]))


def losing_back(problem: Problem, load: Load, back: Laid | None) -> tuple[Losing, ...]:
    """What the return of a load may lose more on."""
    return () if back is None else back.losing(problem, load.full_current_a)


def single_out(problem: Problem, load: Load, spot: Spot) -> Iterator[Half]:
    """Every way to lead current to one load alone."""
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
        for out in branches(problem, way, length, spot.duty(trip)):
            crossed = contacts(problem, out, current / parallel)
            if crossed is None or not fits(outputs, out):
                continue
            volts = out.volts(current / parallel) + crossed[1] * current / parallel
            volts *= 2 if load.bridge else 1
            if not at_most(volts, volts_allowed(problem, load)):
                continue
            yield Half(
                outputs=taken,
                copper_mg=taken * out.copper_mg,
                splices=0,
                needs=crossed[0] * taken,
                cut=(frozenset(name for name, _ in crossed[0]),),
                studs=(stud(problem, load),),
                left_v=(volts_allowed(problem, load) - volts,),
                lines=out.lying(problem, taken, trip, carried(problem, [load], parallel)),
                losing=(out.losing(problem, current / parallel, 2 if load.bridge else 1),),
                back=spot.duty(trip, parallel),
            )


def least_trip(problem: Problem, spot: Spot, loads: tuple[Load, ...], parallel: int, current_a: float) -> float | None:
    """The least setting of each output, if it is one that the output and the loads bear, starts and all."""
    outputs = spot.outputs
    if not gives_starts(spot, loads, parallel):
        return None
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


def gives_starts(spot: Spot, loads: tuple[Load, ...], parallel: int) -> bool:
    """Whether each output gives what all that starts together draws, for as long as each of the starts lasts."""
    share = 1.0 if parallel == 1 else parallel * spot.outputs.parallel_use
    for seconds in {load.inrush_s for load in loads if load.inrush_s is not None}:
        lasting = [amperes for amperes, s in spot.outputs.peaks if at_most(seconds, s)]
        starting = [load for load in loads if load.inrush_s is not None and at_most(seconds, load.inrush_s)]
        drawn = sum(load.inrush_a or 0.0 for load in starting)
        drawn += sum(load.full_current_a for load in loads if load not in starting)
        if not at_most(drawn / share, max([*lasting, spot.outputs.continuous_a]) * spot.share):
            return False
    return True


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


def outgoing(
    problem: Problem, load: Load, site: str, lines: tuple[Line, ...] = (Line.WIRE,)
) -> list[tuple[Way, float]]:
    """Ways from the site to the load, with the length of line along each."""
    found, run = ways(problem, site, load.place, lines), measured(problem, load, site)
    if run is not None:
        return [(found[0], run)]
    return [(w, max(0.0, w.length_m + problem.margins.tail_m - load.lead_m)) for w in found]


def volts_allowed(problem: Problem, load: Load, *, fed: bool = True) -> float:
    """Drop that the branch of a load may have; ``fed``: a feed lies before it."""
    margins = problem.margins
    share = margins.branch_drop if load.max_drop is None else load.max_drop
    allowed = share * problem.running_v
    if load.min_volts_v is not None:
        before = margins.feed_drop * problem.running_v if fed else 0.0
        allowed = min(allowed, problem.lowest_v - before - load.min_volts_v)
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


def way_back(
    problem: Problem, load: Load, source_place: str, lines: tuple[Line, ...] = (Line.WIRE,)
) -> list[tuple[Way, float]]:
    """Ways from a load to where its current returns, with the length of line along each."""
    end = ground(problem, load, source_place)
    if end is None:
        return [(ways(problem, load.place, load.place)[0], problem.margins.ground_lead_m)]
    return [(w, w.length_m + problem.margins.tail_m) for w in ways(problem, load.place, end, lines)]


Stock = Callable[[Problem, Way, float, Duty], Iterator[Laid]]


def returns(
    problem: Problem, load: Load, spot: Spot, duty: Duty
) -> Iterator[tuple[Laid | None, tuple[Need, ...], float]]:
    """Every return wire that bears its duty, the contacts it needs, and its drop."""
    if load.bridge:
        yield None, (), 0.0
    else:
        yield from backs(problem, load, spot.source_place, duty, branches)


def backs(
    problem: Problem, load: Load, source_place: str, duty: Duty, stock: Stock, lines: tuple[Line, ...] = (Line.WIRE,)
) -> Iterator[tuple[Laid, tuple[Need, ...], float]]:
    """The same of a load that has a return, from a stock of wires."""
    current = load.full_current_a
    for way, length in way_back(problem, load, source_place, lines):
        for piece in stock(problem, way, length, duty):
            crossed = contacts(problem, piece, current)
            if crossed is not None:
                yield piece, crossed[0], piece.volts(current) + crossed[1] * current


Back = tuple[Laid, tuple[Need, ...], float]


def best_returns(
    problem: Problem, loads: tuple[Load, ...], spot: Spot, duty: Duty, half: Half
) -> Iterator[tuple[Back, ...]]:
    """Every choice of a return for each of several loads that keeps each within the volts it has left."""
    each: list[list[Back]] = []
    for load, volts, losing in zip(loads, half.left_v, half.losing, strict=True):
        kept: list[Back] = []
        good = [
            (piece, needs, drop)
            for piece, needs, drop in returns(problem, load, spot, duty)
            if piece is not None and at_most(drop, volts)
        ]
        for back in sorted(good, key=lambda b: (b[0].copper_mg, b[2])):
            alike = (back[1], lying_back(problem, load, back[0], duty))
            # volts count beyond their limit only where a bundle may take more of them
            if not any(
                (needs, lying_back(problem, load, piece, duty)) == alike and (drop <= back[2] or not losing)
                for piece, needs, drop in kept
            ):
                kept.append(back)
        each.append(kept)
    yield from product(*each)

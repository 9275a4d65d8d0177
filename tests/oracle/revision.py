"""The least revision of a layout by trying everything: what stays is one more way to feed its loads, at no cost.

Written from "What the rules mean, exactly" (allocator/checking/RULES.md), on the physics and the search of this oracle.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from unittest.mock import patch

from allocator.layout import Circuit, Layout, PlacedWire
from allocator.problem import Fit, Line, Load, Problem
from tests.oracle import wirings
from tests.oracle.brute import _Search, _sitings
from tests.oracle.options import FeedOption, Option, feeds, fused, milligrams, options, site_share
from tests.oracle.physics import at_most
from tests.oracle.routes import way, ways
from tests.oracle.sharing import Piece, _made, _of_size
from tests.oracle.stock import Duty, Laid, Need, branches, contacts, laid
from tests.oracle.wirings import Spot, Wiring, fits, least_trip, outgoing, returns, stud, volts_allowed

LONGER_M = 0.001


@dataclass(frozen=True)
class Stays(Option):
    """A circuit that stays: so many loads need not be moved."""

    circuit: str = ""


@dataclass(frozen=True)
class FeedStays(FeedOption):
    """A feed that stays."""


@dataclass(frozen=True)
class Sunk(Laid):
    """A conductor that is there."""

    @property
    def copper_mg(self) -> int:
        return 0


@dataclass(frozen=True)
class Revised(_Search):
    """The search, with a limit on moves."""

    movable: int = 0
    most: int | None = None

    def feeds_do(self, laid: tuple[FeedOption, ...], chosen: tuple[Option, ...]) -> bool:
        stay = sum(len(o.loads) for o in chosen if isinstance(o, Stays))
        stay += sum(isinstance(feed, FeedStays) for feed in laid)
        within = self.most is None or self.movable - stay <= self.most
        return within and super().feeds_do(laid, chosen)


def least_revision(problem: Problem, layout: Layout, move_g: float, most: int | None, *, resite: bool) -> float | None:
    """Least objective in grams of a revision; None where there is none."""
    sites = {unit.name: unit.site for unit in layout.units}
    view = problem
    if not resite:
        units = [
            replace(u, sites=(sites[u.name],), fit=Fit.ALWAYS) if sites.get(u.name) in u.sites else u
            for u in problem.units
        ]
        held = {s for u in units for s in u.sites} | {s.place for s in problem.sources}
        view = replace(problem, units=tuple(units), runs=tuple(r for r in problem.runs if r.site in held))
    left = [c for c in (still_there(view, circuit) for circuit in layout.circuits) if c is not None]
    move, used = milligrams(move_g), milligrams(problem.prices.used_output_g)
    with patch.object(wirings, "returns", _finished(layout)):
        new = options(view)
        kept = [o for circuit in left for o in stays(view, circuit, sites)]
    movable = sum({o.circuit: len(o.loads) for o in kept}.values())
    kept = [replace(o, cost_mg=o.cost_mg - len(o.pins) * used - move * len(o.loads)) for o in kept]
    cables = [f for f in (feed_stays(view, layout, name, move) for name in sites) if f is not None]
    movable += len({f.unit for f in cables})
    search = Revised(view, [*new, *kept], [*feeds(view), *cables], movable, most)
    best: int | None = None
    for siting in _sitings(view):
        there = [u for u in siting if u in sites]
        mass = sum(milligrams(problem.prices.unit_mass * view.unit_type[view.unit[u].type].mass_g) for u in there)
        found = search.best(siting, None if best is None else best + mass)
        best = None if found is None else (found - mass if best is None else min(best, found - mass))
    return None if best is None else (best + move * movable) / 1000


def still_there(problem: Problem, circuit: Circuit) -> Circuit | None:
    """A circuit less the loads that are gone; None where nothing is left, or one load of a tree."""
    loads = tuple(n for n in circuit.loads if n in problem.load)
    if not loads or (len(loads) == 1 and len(circuit.loads) > 1):
        return None
    wires = [replace(w, loads=tuple(n for n in w.loads if n in loads)) for w in circuit.wires]
    return replace(circuit, loads=loads, wires=tuple(w for w in wires if w.loads))


def _finished(layout: Layout):
    """Returns of a load, and the finished one once more at no cost."""
    built = {w.loads[0]: w for c in layout.circuits for w in c.wires if w.role == "return"}

    def both(problem: Problem, load: Load, spot: Spot, duty: Duty) -> Iterator[tuple[object, object, float]]:
        for piece, needs, volts in returns(problem, load, spot, duty):
            yield piece, needs, volts
            wire = built.get(load.name)
            exact = None if wire is None or piece is None else _exact(piece, needs, wire)
            if exact is not None and piece is not None:
                yield Sunk(piece.wire, piece.way, piece.length_m, piece.ampacity_a), exact, volts

    return both


def _exact(piece: Laid, needs: tuple[Need, ...], wire: PlacedWire) -> tuple[Need, ...] | None:
    """The very contacts of a wire that is there; None where the piece is another wire."""
    alike = (piece.wire.size, piece.wire.insulation_c) == (wire.size, wire.insulation_c)
    if not alike or piece.way.places != wire.route or piece.length_m > (wire.length_m or 0.0) + LONGER_M:
        return None
    sets = [contact.set for contact in wire.contacts]
    if any(n not in good for n, (_, good) in zip(sets, needs, strict=True)):
        return None
    return tuple((name, frozenset({n})) for n, (name, _) in zip(sets, needs, strict=True))


def stays(problem: Problem, circuit: Circuit, sites: dict[str, str]) -> list[Stays]:
    """The ways in which a circuit stays: all have its outgoing wires, the returns may be new."""
    unit = problem.unit.get(circuit.unit)
    site = sites[circuit.unit]
    share = None if unit is None or site not in unit.sites else site_share(problem, unit, site)
    if unit is None or share is None or not _free_to_stay(problem, circuit):
        return []
    classes = problem.unit_type[unit.type].outputs
    outputs = next(c for c in classes if circuit.pins[0] in c.pins)
    spot = Spot(unit.name, site, outputs, share, problem.source[unit.source].place)
    loads = tuple(problem.load[n] for n in circuit.loads)
    found = _single(problem, circuit, loads[0], spot) if len(loads) == 1 else _tree(problem, circuit, loads, spot)
    return [
        Stays(
            circuit.loads,
            unit.name,
            site,
            outputs.bank,
            outputs.name,
            circuit.pins,
            w.copper_mg,
            w.needs,
            w.cut,
            w.studs,
            w.lines,
            w.left_v,
            w.losing,
            circuit.name,
        )
        for w in wirings.worth_having(found)
    ]


def _free_to_stay(problem: Problem, circuit: Circuit) -> bool:
    """No pin asks for another place, and no function for another circuit."""
    for load in problem.loads:
        mine = load.name in circuit.loads
        if mine and (load.unit not in (None, circuit.unit) or load.output not in (None, *circuit.pins)):
            return False
        if not mine and load.unit == circuit.unit and load.output in circuit.pins:
            return False
    return all(
        "output" not in f.against or sum(n in f.loads for n in circuit.loads) <= len(f.loads) - f.survive
        for f in problem.functions
    )


def _single(problem: Problem, circuit: Circuit, load: Load, spot: Spot) -> Iterator[Wiring]:
    if not set(load.needs) <= set(spot.outputs.capabilities):
        return
    current, use = load.full_current_a, spot.rating_a * problem.margins.output_use
    many = 1 if load.bridge else spot.outputs.parallel
    shares = [1.0 if k == 1 else k * spot.outputs.parallel_use for k in range(1, many + 1)]
    enough = [(k, share) for k, share in enumerate(shares, 1) if at_most(current, share * use)]
    if not enough or (2 if load.bridge else enough[0][0]) != len(circuit.pins):
        return
    parallel, share = enough[0]
    trip = least_trip(problem, spot, (load,), parallel, current / share)
    if trip is None:
        return
    outs = [w for w in circuit.wires if w.role == "out"]
    for path, length in outgoing(problem, load, spot.site):
        for out in branches(problem, path, length, spot.duty(trip)):
            crossed = contacts(problem, out, current / parallel)
            exact = [_exact(out, crossed[0], w) for w in outs] if crossed is not None else [None]
            if crossed is None or any(e is None for e in exact) or not fits(spot.outputs, out):
                continue
            volts = (out.volts(current / parallel) + crossed[1] * current / parallel) * (2 if load.bridge else 1)
            for back, needs, more in wirings.returns(problem, load, spot, spot.duty(trip, parallel)):
                if at_most(volts + more, volts_allowed(problem, load)):
                    taken = tuple(n for e in exact if e is not None for n in e)
                    yield Wiring(
                        len(circuit.pins),
                        0 if back is None else back.copper_mg,
                        0,
                        taken + needs,
                        (frozenset(name for name, _ in taken + needs),),
                        (stud(problem, load),),
                    )


def _tree(problem: Problem, circuit: Circuit, loads: tuple[Load, ...], spot: Spot) -> Iterator[Wiring]:
    if any(load.bridge or wirings.measured(problem, load, spot.site) is not None for load in loads):
        return
    if len({load.share for load in loads}) > 1 or any(
        not set(load.needs) <= set(spot.outputs.capabilities) for load in loads
    ):
        return
    current = sum(load.full_current_a for load in loads)
    trip = least_trip(problem, spot, loads, 1, current)
    if trip is None or not at_most(current, spot.rating_a * problem.margins.output_use):
        return
    wires = [w for w in circuit.wires if w.role != "return"]
    splices = _splices(problem, circuit, wires)
    if any(problem.place[p].wet for p, n in splices.items() if n):
        return
    pieces, taken, copper = [], [], 0
    for wire in wires:
        segments = [
            next(s for s in problem.segments if {s.start, s.end} == {a, b})
            for a, b in zip(wire.route, wire.route[1:], strict=False)
        ]
        end = wire.loads[0] if wire.role == "branch" else None
        if end is not None and problem.load[end].place != wire.end:
            return
        path = way(problem, wire.route, tuple(segments))
        piece = Piece(path, frozenset(wire.loads), end, splices.get(wire.end, 0) if end is None else 0)
        made = _made(problem, loads, spot, trip, piece, wire.size)
        amperes = sum(problem.load[n].full_current_a for n in wire.loads)
        crossed = None if made is None else contacts(problem, made, amperes)
        exact = None if made is None or crossed is None else _exact(made, crossed[0], wire)
        if made is None or exact is None:
            return
        pieces.append(piece)
        taken += exact
        copper += made.copper_mg
    for w in _of_size(problem, loads, spot, trip, pieces, wires[0].size):
        yield replace(w, copper_mg=w.copper_mg - copper, splices=0, needs=(*taken, *w.needs[len(taken) :]))


def _splices(problem: Problem, circuit: Circuit, wires: list[PlacedWire]) -> dict[str, int]:
    """Splices that the wires left need at each place where a trunk ends."""
    first = next(n for n, w in enumerate(wires) if {*w.loads} == {*circuit.loads})
    fan = problem.margins.splice_wires - 2
    found = {}
    for place in {w.end for w in wires if w.role == "trunk"}:
        ends = sum(w.role == "trunk" and w.end == place for w in wires)
        starts = sum(n != first and w.start == place for n, w in enumerate(wires))
        found[place] = max(0, -(-(ends + starts - 2) // fan))
    return found


def feed_stays(problem: Problem, layout: Layout, unit: str, move_mg: int) -> FeedStays | None:
    """The feed of a unit as it is; None where it serves no more."""
    fitted = next(u for u in layout.units if u.name == unit)
    if fitted.feed is None or unit not in problem.unit or fitted.site not in problem.unit[unit].sites:
        return None
    if site_share(problem, problem.unit[unit], fitted.site) is None:
        return None
    for path in ways(problem, problem.source[problem.unit[unit].source].place, fitted.site):
        length = path.length_m + problem.margins.tail_m
        for cable in laid(problem, Line.CABLE, path, length):
            same = (cable.wire.size, cable.wire.insulation_c) == (fitted.feed.size, fitted.feed.insulation_c)
            if same and path.places == fitted.feed.route and length <= (fitted.feed.length_m or 0.0) + LONGER_M:
                for option in fused(problem, unit, fitted.site, cable):
                    if option.capacity_ma > 0:
                        return replace(_stays(option), cost_mg=-move_mg)
    return None


def _stays(option: FeedOption) -> FeedStays:
    """A feed as one that stays."""
    return FeedStays(**{field.name: getattr(option, field.name) for field in fields(option)})

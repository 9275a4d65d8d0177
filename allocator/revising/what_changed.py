"""What a new layout changes: load by load and wire by wire."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from allocator.layout import Circuit, DirectCircuit, Feed, FittedUnit, GivenRun, Layout, PlacedWire
from allocator.options.already_built import LENGTH_TOLERANCE_M

STAYS, MOVED, REPLACED, NEW, REMOVED = "stays", "moved", "replaced", "new", "removed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What becomes of one load (or of the feed of a unit): where it was fed from, and where it is.

    ``what`` is stays; moved (it could have stayed); replaced (it could not: ``reason`` says why); new; removed.
    """

    what: str
    of: str
    unit_before: str = ""
    pins_before: tuple[str, ...] = ()
    unit: str = ""
    pins: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireChange:
    """One wire that stays, is new or is to be removed."""

    what: str
    circuit: str
    unit: str
    pins: tuple[str, ...]
    role: str
    loads: tuple[str, ...]
    start: str
    end: str
    size: str
    length_m: float
    copper_g: float


@dataclass(frozen=True, slots=True)
class Reasons:
    """Why what is built cannot stay: by name of the circuit, of the unit that a feed is of, of a direct load."""

    circuits: Mapping[str, str]
    feeds: Mapping[str, str]
    direct: Mapping[str, str]

    def told(self) -> Iterator[tuple[str, str]]:
        """What each is of, in words, and the reason."""
        yield from self.circuits.items()
        yield from ((f"feed of {unit}", reason) for unit, reason in self.feeds.items())
        yield from ((f"direct {load}", reason) for load, reason in self.direct.items())


def changes(before: Layout, built: Layout, after: Layout, reasons: Reasons, stay: Staying) -> Iterator[Change]:
    """Every load and feed of both layouts, each with what becomes of it.

    Parameters
    ----------
    before
        The layout before the problem changed.
    built
        What the problem left of it.
    after
        The new layout.
    reasons
        Why what is built cannot stay.
    stay
        What stays of it.
    """
    now, direct = _fed(after), {one.load: one for one in after.direct}
    there = {name for circuit in built.circuits for name in circuit.loads} | {one.load for one in built.direct}
    for circuit in built.circuits:
        kept = (circuit.unit, frozenset(circuit.pins)) in stay.circuits and circuit.name not in reasons.circuits
        for name in circuit.loads:
            reason = reasons.circuits.get(circuit.name, "")
            yield Change(
                what=_what(kept, reason),
                of=name,
                unit_before=circuit.unit,
                pins_before=circuit.pins,
                unit=now[name].unit if name in now else "",
                pins=now[name].pins if name in now else (),
                reason=reason,
            )
    for one in built.direct:
        reason = reasons.direct.get(one.load, "")
        unit = direct[one.load].source if one.load in direct else ""
        what = _what(one.load in stay.direct, reason)
        yield Change(what=what, of=one.load, unit_before=one.source, unit=unit, reason=reason)
    yield from _new(before, after, there)
    yield from _gone(before, there, {*now, *direct})
    yield from _feeds(before, after, reasons, stay)


def _what(stays: bool, reason: str) -> str:
    return STAYS if stays else (REPLACED if reason else MOVED)


def stands(was: Circuit, now: Circuit) -> bool:
    """Whether a circuit has its loads, its pins and its outgoing wires as built."""
    return (was.unit, {*was.pins}, {*was.loads}) == (now.unit, {*now.pins}, {*now.loads}) and _outgoing(
        was
    ) == _outgoing(now)


def _outgoing(circuit: Circuit | DirectCircuit) -> Counter[object]:
    return Counter(_identity(wire) for wire in circuit.wires if wire.role != "return")


def _identity(wire: PlacedWire) -> object:
    # a trunk is the same when a load behind it is gone
    loads = () if wire.role == "trunk" else tuple(sorted(wire.loads))
    return (wire.role, wire.size, wire.route, wire.contacts, loads)


def _fed(layout: Layout) -> dict[str, Circuit]:
    return {name: circuit for circuit in layout.circuits for name in circuit.loads}


OTHERWISE = "it is fed from a source instead of a unit now, or the other way round"


def _new(before: Layout, after: Layout, there: set[str]) -> Iterator[Change]:
    fed = {name: (circuit.unit, circuit.pins) for name, circuit in _fed(before).items()}
    fed |= {one.load: (one.source, ()) for one in before.direct}

    def change(name: str, unit: str, pins: tuple[str, ...]) -> Change:
        if name not in fed:
            return Change(what=NEW, of=name, unit=unit, pins=pins)
        was, pins_before = fed[name]
        return Change(
            what=REPLACED, of=name, unit_before=was, pins_before=pins_before, unit=unit, pins=pins, reason=OTHERWISE
        )

    for circuit in after.circuits:
        for name in circuit.loads:
            if name not in there:
                yield change(name, circuit.unit, circuit.pins)
    for one in after.direct:
        if one.load not in there:
            yield change(one.load, one.source, ())


def _gone(before: Layout, there: set[str], now: set[str]) -> Iterator[Change]:
    for circuit in before.circuits:
        for name in circuit.loads:
            if name not in there and name not in now:
                yield Change(what=REMOVED, of=name, unit_before=circuit.unit, pins_before=circuit.pins)
    for one in before.direct:
        if one.load not in there and one.load not in now:
            yield Change(what=REMOVED, of=one.load, unit_before=one.source)


def _feeds(before: Layout, after: Layout, reasons: Reasons, stay: Staying) -> Iterator[Change]:
    was, now = ({unit.name: unit for unit in layout.units} for layout in (before, after))
    for name, unit in was.items():
        of, reason = f"feed of {name}", reasons.feeds.get(name, "")
        if name not in now:
            yield Change(what=REMOVED, of=of, unit_before=unit.site)
        else:
            what = _what(name in stay.feeds, reason)
            yield Change(what=what, of=of, unit_before=unit.site, unit=now[name].site, reason=reason)
    for name, unit in now.items():
        if name not in was:
            yield Change(what=NEW, of=f"feed of {name}", unit=unit.site)


def same_feed(was: FittedUnit, now: FittedUnit) -> bool:
    """Whether a unit has its site and its cable."""
    alike = was.feed is not None and now.feed is not None
    return alike and (was.site, _cable(was.feed)) == (now.site, _cable(now.feed))


def _cable(feed: Feed | None) -> tuple[str, tuple[str, ...]]:
    return ("", ()) if feed is None else (feed.size, feed.route)


@dataclass(frozen=True)
class Staying:
    """What stays from one layout to another.

    ``circuits`` holds (unit, pins) whose outgoing wires stay, the rest names: loads whose return stays, direct loads
    whose outgoing wire does, units whose feed does, given wires.
    """

    circuits: frozenset[tuple[str, frozenset[str]]]
    returns: frozenset[str]
    direct: frozenset[str]
    feeds: frozenset[str]
    given: frozenset[str]


def staying(built: Layout, after: Layout, reasons: Reasons, given: frozenset[str]) -> Staying:
    """What stays from one layout to another; what has a reason not to, does not.

    Parameters
    ----------
    built
        What the problem left of the layout before.
    after
        The new layout.
    reasons
        Why what is built cannot stay.
    given
        Given wires that stay, by name.
    """
    now = _fed(after)
    was, back = _returns(built), _returns(after)
    direct = {one.load: one for one in after.direct}
    fitted = {unit.name: unit for unit in after.units}
    return Staying(
        circuits=frozenset(
            (c.unit, frozenset(c.pins))
            for c in built.circuits
            if c.name not in reasons.circuits and c.loads[0] in now and stands(c, now[c.loads[0]])
        ),
        returns=frozenset(name for name, wire in back.items() if name in was and _same_return(was[name], wire)),
        direct=frozenset(
            one.load
            for one in built.direct
            if one.load not in reasons.direct and one.load in direct and _outgoing(one) == _outgoing(direct[one.load])
        ),
        feeds=frozenset(
            unit.name
            for unit in built.units
            if unit.name not in reasons.feeds and unit.name in fitted and same_feed(unit, fitted[unit.name])
        ),
        given=given,
    )


def _returns(layout: Layout) -> dict[str, PlacedWire]:
    circuits: list[Circuit | DirectCircuit] = [*layout.circuits, *layout.direct]
    return {w.loads[0]: w for c in circuits for w in c.wires if w.role == "return" and w.loads}


def _same_return(was: PlacedWire, now: PlacedWire) -> bool:
    short = was.length_m is not None and now.length_m is not None and now.length_m > was.length_m + LENGTH_TOLERANCE_M
    return _identity(was) == _identity(now) and was.insulation_c == now.insulation_c and not short


def wire_changes(before: Layout, after: Layout, stay: Staying) -> Iterator[WireChange]:
    """Every wire that stays, is new, or is to be removed."""
    left = {name for circuit in after.circuits for name in circuit.loads} | {one.load for one in after.direct}
    for wire, stays in _wires(after, stay, left):
        yield WireChange(what=STAYS if stays else NEW, **wire)  # type: ignore[arg-type]
    for wire, stays in _wires(before, stay, left):
        if not stays:
            yield WireChange(what=REMOVED, **wire)  # type: ignore[arg-type]


def _wires(layout: Layout, stay: Staying, left: set[str]) -> Iterator[tuple[dict[str, object], bool]]:
    """Wires of a layout, and whether each stays; one whose loads are all gone does not."""
    for circuit in layout.circuits:
        kept = (circuit.unit, frozenset(circuit.pins)) in stay.circuits
        for wire in circuit.wires:
            back = wire.role == "return"
            stays = {*wire.loads} <= stay.returns if back else kept and not left.isdisjoint(wire.loads)
            yield _told(circuit.name, circuit.unit, () if back else circuit.pins, wire), stays
    for one in layout.direct:
        for wire in one.wires:
            stays = one.load in (stay.returns if wire.role == "return" else stay.direct)
            yield _told(one.load, one.source, (), wire), stays
    for unit in layout.units:
        if unit.feed is not None:
            yield _laid(f"feed of {unit.name}", unit.name, "feed", unit.feed, 1), unit.name in stay.feeds
    for run in layout.given:
        for _ in range(run.cores):
            yield _laid(run.wire, "", "given", run, run.cores), run.wire in stay.given


def _told(circuit: str, unit: str, pins: tuple[str, ...], wire: PlacedWire) -> dict[str, object]:
    return {
        "circuit": circuit,
        "unit": unit,
        "pins": pins,
        "role": wire.role,
        "loads": wire.loads,
        "start": wire.start,
        "end": wire.end,
        "size": wire.size,
        "length_m": wire.length_m or 0.0,
        "copper_g": wire.copper_g or 0.0,
    }


def _laid(circuit: str, unit: str, role: str, wire: Feed | GivenRun, cores: int) -> dict[str, object]:
    return {
        "circuit": circuit,
        "unit": unit,
        "pins": (),
        "role": role,
        "loads": (),
        "start": wire.route[0] if wire.route else "",
        "end": wire.route[-1] if wire.route else "",
        "size": wire.size,
        "length_m": wire.length_m or 0.0,
        "copper_g": (wire.copper_g or 0.0) / cores,
    }

"""What a new layout changes: load by load and wire by wire."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from allocator.layout import Circuit, DirectCircuit, Feed, FittedUnit, GivenRun, Layout, PlacedWire

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


def changes(
    before: Layout, built: Layout, after: Layout, reasons: Mapping[str, str]
) -> Iterator[Change]:
    """Every load and feed of both layouts. ``built`` is what the problem left of ``before``."""
    units, direct = _fed(after), {one.load: one for one in after.direct}
    was = {circuit.name: circuit for circuit in built.circuits}
    there: set[str] = set()
    for circuit in was.values():
        for name in circuit.loads:
            there.add(name)
            yield _of_load(name, circuit, units.get(name), reasons.get(circuit.name, ""))
    for one in built.direct:
        there.add(one.load)
        now = direct.get(one.load)
        same = now is not None and _outgoing(now) == _outgoing(one)
        reason = reasons.get(f"direct {one.load}", "")
        what = STAYS if same else (REPLACED if reason else MOVED)
        yield Change(what=what, of=one.load, unit_before=one.source, unit=now.source if now else "", reason=reason)
    yield from _new(after, there)
    yield from _gone(before, there, {*units, *direct})
    yield from _feeds(before, after, reasons)


def _of_load(name: str, was: Circuit, now: Circuit | None, reason: str) -> Change:
    same = now is not None and stands(was, now)
    what = STAYS if same else (REPLACED if reason else MOVED)
    return Change(
        what=what,
        of=name,
        unit_before=was.unit,
        pins_before=was.pins,
        unit=now.unit if now is not None else "",
        pins=now.pins if now is not None else (),
        reason="" if same else reason,
    )


def stands(was: Circuit, now: Circuit) -> bool:
    """Whether a circuit has its loads, its pins and its outgoing wires as built."""
    return (
        (was.unit, {*was.pins}, {*was.loads}) == (now.unit, {*now.pins}, {*now.loads})
        and _outgoing(was) == _outgoing(now)
    )


def _outgoing(circuit: Circuit | DirectCircuit) -> Counter[object]:
    return Counter(_identity(wire) for wire in circuit.wires if wire.role != "return")


def _identity(wire: PlacedWire) -> object:
    # a trunk is the same when a load behind it is gone
    loads = () if wire.role == "trunk" else tuple(sorted(wire.loads))
    return (wire.role, wire.size, wire.route, wire.contacts, loads)


def _fed(layout: Layout) -> dict[str, Circuit]:
    return {name: circuit for circuit in layout.circuits for name in circuit.loads}


def _new(after: Layout, there: set[str]) -> Iterator[Change]:
    for circuit in after.circuits:
        for name in circuit.loads:
            if name not in there:
                yield Change(what=NEW, of=name, unit=circuit.unit, pins=circuit.pins)
    for one in after.direct:
        if one.load not in there:
            yield Change(what=NEW, of=one.load, unit=one.source)


def _gone(before: Layout, there: set[str], now: set[str]) -> Iterator[Change]:
    for circuit in before.circuits:
        for name in circuit.loads:
            if name not in there and name not in now:
                yield Change(what=REMOVED, of=name, unit_before=circuit.unit, pins_before=circuit.pins)
    for one in before.direct:
        if one.load not in there and one.load not in now:
            yield Change(what=REMOVED, of=one.load, unit_before=one.source)


def _feeds(before: Layout, after: Layout, reasons: Mapping[str, str]) -> Iterator[Change]:
    was, now = ({unit.name: unit for unit in layout.units} for layout in (before, after))
    for name, unit in was.items():
        of, reason = f"feed of {name}", reasons.get(f"feed of {name}", "")
        if name not in now:
            yield Change(what=REMOVED, of=of, unit_before=unit.site)
        elif same_feed(unit, now[name]):
            yield Change(what=STAYS, of=of, unit_before=unit.site, unit=now[name].site)
        else:
            what = REPLACED if reason else MOVED
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


def wire_changes(before: Layout, after: Layout) -> Iterator[WireChange]:
    """Every wire of both layouts: those in both stay."""
    was, now = list(_wires(before)), list(_wires(after))
    left = Counter(key for key, _ in was)
    for key, wire in now:
        stays = left[key] > 0
        left[key] -= stays
        yield WireChange(what=STAYS if stays else NEW, **wire)  # type: ignore[arg-type]
    left = Counter(key for key, _ in was) - Counter(key for key, _ in now)
    for key, wire in was:
        if left[key] > 0:
            left[key] -= 1
            yield WireChange(what=REMOVED, **wire)  # type: ignore[arg-type]


def _wires(layout: Layout) -> Iterator[tuple[object, dict[str, object]]]:
    """Wires with what makes them the same wire: an outgoing one by its output, a return by its load."""
    for circuit in layout.circuits:
        for wire in circuit.wires:
            back = wire.role == "return"
            where = () if back else (circuit.unit, tuple(sorted(circuit.pins)))
            yield (where, _identity(wire)), _told(circuit.name, circuit.unit, () if back else circuit.pins, wire)
    for one in layout.direct:
        for wire in one.wires:
            yield (one.source, _identity(wire)), _told(one.load, one.source, (), wire)
    for unit in layout.units:
        if unit.feed is not None:
            told = _laid(f"feed of {unit.name}", unit.name, "feed", unit.feed, 1)
            yield ("feed", unit.name, unit.site, _cable(unit.feed)), told
    for run in layout.given:
        for _ in range(run.cores):
            told = _laid(run.wire, "", "given", run, run.cores)
            yield ("given", run.wire, run.size, run.route, run.cores), told


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

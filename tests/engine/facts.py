"""What a layout says, as a tree of plain values, and what of it is not as expected."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from allocator.layout import Circuit, DirectCircuit, FittedUnit, Layout, PlacedWire

CLOSE = 5e-4  # expectations are written to three decimals

Facts = dict[str, Any]


def expected(case: Path) -> dict[str, Facts]:
    """The facts that ``expected.toml`` of a case states, by the folder they hold for."""
    return {folder: facts for folder, facts in _read(case).items() if isinstance(facts, dict)}


def why(case: Path) -> str:
    """The sentence that says what the case is there for."""
    return str(_read(case)["why"])


def beyond_the_oracle(case: Path) -> bool:
    """Whether a case is about something that the oracle knows nothing of."""
    return bool(_read(case).get("beyond_the_oracle", False))


def violations(case: Path) -> list[Facts]:
    """What a layout made by hand breaks: rule, object, amount and unit."""
    return list(_read(case).get("violations", []))


def reckoned(case: Path, name: str) -> Any:
    """A figure of ``expected.toml`` that was reckoned by hand; None where it has none of that name."""
    return _read(case).get(name)


def _read(case: Path) -> dict[str, Any]:
    with (case / "expected.toml").open("rb") as file:
        return tomllib.load(file)


def facts(layout: Layout) -> Facts:
    """All that an ``expected.toml`` may state of a layout.

    ``circuits`` are found by the name of each of their loads. ``units``, ``classes`` and ``banks`` count the outputs
    used of each fitted unit, in all, by class and by bank. ``sizes`` lists the size of every branch wire, sorted.
    ``cut_short`` holds the sentences on what the proof does not cover.
    """
    units = layout.units
    return {
        "status": layout.status,
        "objective_g": layout.objective_g,
        "sites": {unit.name: unit.site for unit in units},
        "circuits": {load: _circuit(circuit) for circuit in layout.circuits for load in circuit.loads},
        "direct": {circuit.load: _direct(circuit) for circuit in layout.direct},
        "feeds": {unit.name: _feed(unit) for unit in units},
        "currents": {unit.name: dict(unit.current_a) for unit in units},
        "units": {unit.name: sum(len(c.pins) for c in _of(layout, unit)) for unit in units},
        "classes": {unit.name: _counted([(c.output_class, len(c.pins)) for c in _of(layout, unit)]) for unit in units},
        "banks": {unit.name: _counted([(c.bank, len(c.pins)) for c in _of(layout, unit)]) for unit in units},
        "sizes": sorted(wire.size for circuit in layout.circuits for wire in circuit.wires),
        "cut_short": list(dict(layout.listed).get("cut_short", ())),
        "totals": {} if layout.totals is None else asdict(layout.totals),
    }


def unlike(stated: Any, found: Any, where: str = "") -> Iterator[str]:
    """Sentences on every fact that is not as stated; ``sites`` must be stated whole, of all else any part will do."""
    if isinstance(stated, dict) and isinstance(found, dict):
        for name, value in stated.items():
            if name not in found:
                yield f"{where}: no {name}"
            else:
                yield from unlike(value, found[name], f"{where}.{name}".lstrip("."))
        if where == "sites" and set(found) != set(stated):
            yield f"sites: units {sorted(found)} are fitted"
    elif not _alike(stated, found):
        yield f"{where}: {found!r}, not {stated!r}"


def answer(layout: Layout) -> Layout:
    """The layout without what two runs, or two names of a problem, may differ in."""
    return replace(layout, problem="", problem_sha256="", seconds=None, made_with=(), defaults=(), listed=())


def _alike(stated: Any, found: Any) -> bool:
    if isinstance(stated, float) and isinstance(found, int | float):
        return abs(stated - found) <= CLOSE
    return bool(stated == found)


def _of(layout: Layout, unit: FittedUnit) -> list[Circuit]:
    return [circuit for circuit in layout.circuits if circuit.unit == unit.name]


def _counted(outputs: list[tuple[str | None, int]]) -> dict[str, int]:
    count: Counter[str] = Counter()
    for name, number in outputs:
        count[name or ""] += number
    return dict(count)


def _circuit(circuit: Circuit) -> Facts:
    out = next(wire for wire in circuit.wires if wire.role != "return")
    back = next((wire for wire in circuit.wires if wire.role == "return"), None)
    return {
        "loads": list(circuit.loads),
        "unit": circuit.unit,
        "bank": circuit.bank,
        "class": circuit.output_class,
        "pins": list(circuit.pins),
        "outputs": len(circuit.pins),
        "current_a": circuit.current_a,
        "trip_a": circuit.trip_a,
        "splices": [splice.place for splice in circuit.splices],
        "sizes": sorted({wire.size for wire in circuit.wires}),
        **_wire("", out),
        **({} if back is None else _wire("return_", back)),
    }


def _wire(prefix: str, wire: PlacedWire) -> Facts:
    return {
        f"{prefix}size": wire.size,
        f"{prefix}length_m": wire.length_m,
        f"{prefix}route": list(wire.route),
        f"{prefix}insulation_c": wire.insulation_c,
    }


def _direct(circuit: DirectCircuit) -> Facts:
    return {"fuse_a": circuit.fuse_a, **_wire("", circuit.wires[0])}


def _feed(unit: FittedUnit) -> Facts:
    feed = unit.feed
    assert feed is not None
    return {"size": feed.size, "length_m": feed.length_m, "fuse_a": feed.fuse_a, "route": list(feed.route)}

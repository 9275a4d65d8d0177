"""A made-up machine as a problem folder, so that reading and the command can be timed on it.

Only what ``benchmarks.machines`` makes is written; ``tests/benchmarks`` holds that it is read back the same.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from allocator.problem import Bulkhead, OutputClass, Problem, Unit, UnitType


def write(problem: Problem, folder: Path) -> None:
    """Write a problem into a folder, which is made where it is missing."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "problem.toml").write_text("\n".join(_settings(problem)) + "\n", encoding="utf-8")
    _table(
        folder / "places.csv",
        ("place", "ambient [degC]", "stud [A]", "units"),
        ((p.name, p.ambient_c, p.stud_a, p.units) for p in problem.places),
    )
    _table(
        folder / "segments.csv",
        ("from", "to", "length [m]", "ambient [degC]", "bulkhead"),
        ((s.start, s.end, s.length_m, s.ambient_c, s.bulkhead) for s in problem.segments),
    )
    known = (
        "load", "place", "current [A]", "needs", "share", "together", "unit", "spread", "stall [A]",
    )  # fmt: skip
    _table(
        folder / "loads.csv",
        (*known, *problem.conditions),
        (
            (
                x.name, x.place, x.current_a, "; ".join(x.needs), x.share, x.together, x.unit, x.spread, x.stall_a,
                *x.levels,
            )
            for x in problem.loads
        ),
    )  # fmt: skip


def _table(path: Path, headings: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(headings)
        writer.writerows(["" if cell is None else cell for cell in row] for row in rows)


def _settings(problem: Problem) -> Iterable[str]:
    margins = problem.margins
    yield f"format = 1\nname = {_text(problem.name)}\n\n[system]"
    yield f'nominal = "{problem.nominal_v} V"\nrunning = "{problem.running_v} V"\nlowest = "{problem.lowest_v} V"'
    yield f'ambient = "{problem.ambient_c} degC"\nconditions = [{", ".join(map(_text, problem.conditions))}]'
    yield f"\n[margins]\nbundle = {_text(margins.bundle)}\nrobust = {margins.robust}"
    yield f"branch_drop = {margins.branch_drop}\nfeed_drop = {margins.feed_drop}"
    yield f"\n[wire]\ntable = {_text(problem.wires.name)}\nfeed_table = {_text(problem.feed_wires.name)}"
    for source in problem.sources:
        yield f"\n[[sources]]\nname = {_text(source.name)}\nplace = {_text(source.place)}"
    for unit_type in problem.unit_types:
        yield from _unit_type(unit_type)
    for unit in problem.units:
        yield from _unit(unit)
    for bulkhead in problem.bulkheads:
        yield from _bulkhead(bulkhead)
    for function in problem.functions:
        yield f"\n[[functions]]\nname = {_text(function.name)}\nsurvive = {function.survive}"
        yield f"loads = {_texts(function.loads)}\nagainst = {_texts(function.against)}"


def _unit_type(unit_type: UnitType) -> Iterable[str]:
    yield f'\n[[unit_types]]\nname = {_text(unit_type.name)}\nmass = "{unit_type.mass_g} g"'
    yield f'continuous = "{unit_type.continuous_a} A"'
    points = ", ".join(f'["{ambient} degC", {share}]' for ambient, share in unit_type.hot)
    yield f"hot = [{points}]"
    if unit_type.banks:
        banks = ", ".join(f'{{ name = {_text(b.name)}, continuous = "{b.continuous_a} A" }}' for b in unit_type.banks)
        yield f"banks = [{banks}]"
    yield "outputs = ["
    for output in unit_type.outputs:
        yield f"  {{ {', '.join(_output(output))} }},"
    yield "]"


def _output(output: OutputClass) -> Iterable[str]:
    yield f"class = {_text(output.name)}"
    if output.bank is not None:
        yield f"bank = {_text(output.bank)}"
    yield f"pins = {_texts(output.pins)}"
    yield f'continuous = "{output.continuous_a} A"'
    yield f"wire = {_areas(output.wire_mm2)}"
    yield f"capabilities = {_texts(output.capabilities)}"
    yield f"parallel = {output.parallel}"
    yield f"parallel_use = {output.parallel_use}"
    yield f'trip_step = "{output.trip_step_a} A"'


def _unit(unit: Unit) -> Iterable[str]:
    yield f"\n[[units]]\nname = {_text(unit.name)}\ntype = {_text(unit.type)}\nsites = {_texts(unit.sites)}"
    yield f'source = {_text(unit.source)}\nfit = "{unit.fit.value}"'
    yield f"spare = {{ {', '.join(f'{name} = {count}' for name, count in unit.spare)} }}"
    yield f'spare_current = "{unit.spare_current_a} A"'


def _bulkhead(bulkhead: Bulkhead) -> Iterable[str]:
    yield f"\n[[bulkheads]]\nname = {_text(bulkhead.name)}\nkind = {_text(bulkhead.kind)}\nstuds = {bulkhead.studs}"
    sets = (
        f'{{ count = {c.count}, wire = {_areas(c.wire_mm2)}, resistance = "{c.resistance_ohm} ohm" }}'
        for c in bulkhead.contacts
    )
    yield f"contacts = [{', '.join(sets)}]"


def _areas(limits: tuple[float, float]) -> str:
    return f'["{limits[0]} mm2", "{limits[1]} mm2"]'


def _texts(texts: Iterable[str]) -> str:
    return f"[{', '.join(map(_text, texts))}]"


def _text(text: str) -> str:
    """A basic string of TOML: that of JSON."""
    return json.dumps(text)

"""Layouts side by side: one column each, named by letters; then what breaks, fails and differs."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict
from typing import Any

from allocator.analysis.comparison import Compared, Comparison
from allocator.layout import FittedUnit
from allocator.problem import Problem
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number
from allocator.reporting.cautions import cautions
from allocator.reporting.circuits_apart import circuits_apart
from allocator.reporting.failing import called, gone_lines, unfed
from allocator.reporting.outputs import feed_line
from allocator.reporting.violations import failures_listed, margins_as_data, verdict_of, violations_listed
from allocator.reporting.weak_points import margin_sentence
from allocator.table import Table, text

ABREAST = 4
Cells = Callable[[Compared], str]


def letters(count: int) -> list[str]:
    """Short names of the layouts in tables: A, B, C ..., after Z by number."""
    return [chr(ord("A") + n) if n < 26 else f"{n + 1}" for n in range(count)]


def compared(problem: Problem, found: Comparison) -> tuple[Block, ...]:
    """The whole comparison in reading order."""
    marks = letters(len(found.layouts))
    named = list(zip(marks, found.layouts, strict=True))
    return (
        Heading(f"{found.problem}: {counted(len(found.layouts), 'layout')} side by side"),
        *(Paragraph(f"{mark}: {one.name}") for mark, one in named),
        *_side_by_side("", _figures(), named),
        Heading("Length by size, in m"),
        *_side_by_side("wire", _sizes(found), named),
        Heading("Currents of units and banks in A, and share of the limit"),
        *_side_by_side("unit, bank, condition", _loads(found), named),
        Heading("Loads lost to single failures: in all, most at once"),
        *_side_by_side("failure", _failures(found), named),
        Paragraph("A feed loses what its unit does. All outputs, loads and conditions: --json.", "quiet"),
        *(block for mark, one in named for block in _gone(problem, mark, one)),
        *(block for mark, one in named for block in _weakest(mark, one)),
        *(block for mark, one in named for block in _verdict(mark, one)),
        *_units(problem, found, marks),
        *circuits_apart(found, marks),
        *cautions(problem),
    )


def _side_by_side(
    heading: str, rows: Sequence[tuple[str, Cells]], named: Sequence[tuple[str, Compared]]
) -> Iterator[Table]:
    """One table, a column a layout; several tables below each other where there are more than stand abreast."""
    for first in range(0, len(named), ABREAST):
        abreast = named[first : first + ABREAST]
        columns = (text(heading), *(text(mark, right=True) for mark, _ in abreast))
        cells = tuple((what, *(cell(one) for _, one in abreast)) for what, cell in rows)
        yield Table(columns=columns, rows=cells)


def _figures() -> list[tuple[str, Cells]]:
    return [
        ("status", _status),
        ("violations of the rules", lambda one: f"{len(one.violations)}"),
        ("objective, g", lambda one: number(one.layout.objective_g, 1)),
        ("copper, g", lambda one: number(one.totals.copper_g, 1)),
        ("  branches", lambda one: number(one.totals.branch_copper_g, 1)),
        ("  feeds", lambda one: number(one.totals.feed_copper_g, 1)),
        ("finished wire, g", lambda one: number(one.totals.wire_g, 1)),
        ("length, m", lambda one: number(one.totals.length_m)),
        ("outputs used", lambda one: f"{one.totals.outputs_used}"),
        ("outputs spare", lambda one: f"{one.totals.outputs_spare}"),
        ("outputs unused", lambda one: f"{one.totals.outputs_unused}"),
        ("units fitted", lambda one: f"{one.totals.units_fitted}"),
        ("splices", lambda one: f"{one.totals.splices}"),
    ]


def _status(one: Compared) -> str:
    return one.layout.status if one.of_this_state else f"{one.layout.status},\nof another state"


def _sizes(found: Comparison) -> list[tuple[str, Cells]]:
    """Every size of any layout, insulations of one size together; branches, feeds and given wires apart."""
    laid = [length for one in found.layouts for length in one.lengths if length.length_m]
    laid.sort(key=lambda length: (length.use, length.copper_g / length.length_m))
    keys = dict.fromkeys((length.use, length.size) for length in laid)
    return [(size if use == "branch" else f"{size} ({use})", _metres(use, size)) for use, size in keys]


def _metres(use: str, size: str) -> Cells:
    def cell(one: Compared) -> str:
        own = [length.length_m for length in one.lengths if (length.use, length.size) == (use, size)]
        return number(sum(own)) if own else ""

    return cell


def _loads(found: Comparison) -> list[tuple[str, Cells]]:
    keys = dict.fromkeys((load.unit, load.bank) for one in found.layouts for load in one.loadings)
    return [
        (f"{unit if bank is None else f'  {bank}'}, {condition}", _ampere(unit, bank, m))
        for unit, bank in sorted(keys, key=lambda key: [unit for unit, _ in keys].index(key[0]))
        for m, condition in enumerate(found.conditions)
    ]


def _ampere(unit: str, bank: str | None, m: int) -> Cells:
    def cell(one: Compared) -> str:
        for load in one.loadings:
            if (load.unit, load.bank) == (unit, bank):
                share = f"{100.0 * load.current_a[m] / load.limit_a:3.0f} %" if load.limit_a > 0.0 else "no limit left"
                return f"{number(load.current_a[m], 1)}  {share}"
        return ""

    return cell


def _failures(found: Comparison) -> list[tuple[str, Cells]]:
    """Every failure but those of feeds, which take what their unit does, and of outputs, of which there are many."""
    keys = dict.fromkeys(
        failure.object
        for one in found.layouts
        for failure in one.failures.failures
        if failure.kind not in ("feed", "output") and failure.loads
    )
    return [(name, _taken(name)) for name in keys]


def _taken(name: str) -> Cells:
    def cell(one: Compared) -> str:
        for failure in one.failures.failures:
            if failure.object == name:
                return f"{len(failure.loads)}, {len(failure.most_lost.loads):2d}"
        return ""

    return cell


def _gone(problem: Problem, mark: str, one: Compared) -> Iterator[Block]:
    outputs = [failure for failure in one.failures.failures if failure.kind == "output" and failure.loads]
    if outputs:
        worst = max(outputs, key=lambda failure: (len(failure.gone), len(failure.loads)))
        yield Paragraph(f"* {mark}: of outputs, {called(worst)} takes most: {', '.join(worst.loads)}")
    yield from (Paragraph(f"* {mark}: {line}") for line in gone_lines(problem, one.failures))
    yield from unfed(one.failures)


def _weakest(mark: str, one: Compared) -> Iterator[Block]:
    if one.weakest:
        yield Heading(f"Weakest margins of {mark}")
        yield from (Paragraph(f"* {margin_sentence(margin)}") for margin in one.weakest)


def _verdict(mark: str, one: Compared) -> Iterator[Block]:
    yield Heading(f"Rules, {mark}")
    yield from verdict_of(one.violations)


def _units(problem: Problem, found: Comparison, marks: Sequence[str]) -> Iterator[Block]:
    if found.units:
        yield Heading("Units that differ")
        for difference in found.units:
            yield Paragraph(f"{difference.unit}:")
            for mark, fitted in zip(marks, difference.fitted, strict=True):
                yield Paragraph(f"* {mark}: {_unit(problem, fitted)}")


def _unit(problem: Problem, fitted: FittedUnit | None) -> str:
    if fitted is None:
        return "not fitted"
    unit = problem.unit.get(fitted.name)
    return f"at {fitted.site}, {feed_line(fitted, unit.source if unit is not None else 'nothing')}"


def as_json(problem: Problem, found: Comparison) -> str:
    """The comparison for programs."""
    body: dict[str, Any] = {
        "problem": {"name": problem.name, "sha256": problem.digest},
        "conditions": found.conditions,
        "layouts": [
            {
                "name": one.name,
                **one.figures,
                "broken": violations_listed(one.violations),
                "lengths": [asdict(length) for length in one.lengths],
                "made_for_this_state": one.of_this_state,
                "weakest": margins_as_data(one.weakest),
                "loadings": [asdict(load) for load in one.loadings],
                "failures": failures_listed(one.failures.failures),
                "unfed": one.failures.unfed,
                "never": one.failures.never,
            }
            for one in found.layouts
        ],
        "units": [asdict(unit) for unit in found.units],
        "circuits": [asdict(circuit) | {"pins_only": circuit.pins_only} for circuit in found.circuits],
    }
    return json.dumps(body, indent=1, ensure_ascii=False, allow_nan=False) + "\n"

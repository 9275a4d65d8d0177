"""What the check found: for people and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from allocator.advising.failures import Failure, failures
from allocator.showing.blocks import Block, Column, Heading, Paragraph, Table, counted, short
from allocator.showing.cautions import cautions
from allocator.showing.failing import failing
from allocator.showing.room import room
from allocator.showing.sums import currents, totals
from allocator.showing.weak_points import weak_points

if TYPE_CHECKING:
    from allocator.advising.headroom import Headroom
    from allocator.checking import Report, Violation
    from allocator.problem import Problem

_COLUMNS = (
    Column(heading="rule"),
    Column(heading="object"),
    Column(heading="amount", number=True),
    Column(heading="unit", whole=True),
    Column(heading="what"),
)


def verdict_of(broken: tuple[Violation, ...]) -> tuple[Block, ...]:
    """Clean, or every violation with its rule, object and amount."""
    if not broken:
        return (Paragraph("Clean: the layout breaks no rule.", "good"),)
    count = len(broken)
    return (
        Paragraph(f"{counted(count, 'violation')} of the rules:", "bad"),
        Table(
            title="",
            columns=_COLUMNS,
            rows=tuple(
                (found.rule, found.object, _amount(found.amount), found.unit, found.text) for found in broken
            ),
        ),
    )


def _amount(value: float) -> str:
    return short(float(f"{value:.4g}"))


def checked(problem: Problem, report: Report, headroom: Headroom | None = None) -> tuple[Block, ...]:
    """The verdict, then the sums and weak points of the layout with what a hand left out filled in."""
    return (
        Heading(f"{problem.name}: check of a layout"),
        *verdict_of(report.violations),
        *totals(report.layout),
        *currents(problem, report.layout),
        *weak_points(problem, report.layout),
        *failing(problem, failures(problem, report.layout)),
        *(() if headroom is None else room(headroom)),
        *cautions(problem),
    )


def as_json(problem: Problem, report: Report, headroom: Headroom | None = None) -> str:
    """The verdict for programs, with the single failures that lose the most."""
    found = failures(problem, report.layout)
    body: dict[str, Any] = {
        "problem": {"name": problem.name, "sha256": problem.digest},
        "clean": report.clean,
        "violations": violations_listed(report.violations),
        "failures": failures_listed(found.worst()),
        "unfed": found.unfed,
    }
    if headroom is not None:
        body["headroom"] = asdict(headroom)
    return json.dumps(body, indent=1, ensure_ascii=False) + "\n"


def violations_listed(found: Iterable[Violation]) -> list[dict[str, Any]]:
    """Violations as plain data."""
    return [asdict(one) for one in found]


def failures_listed(found: Iterable[Failure]) -> list[dict[str, Any]]:
    """Failures as plain data, with the functions that they end and degrade."""
    return [asdict(one) | {"gone": one.gone, "degraded": one.degraded} for one in found]

"""What the check found: for people and for programs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from allocator.showing.blocks import Block, Column, Heading, Paragraph, Table, counted, short
from allocator.showing.cautions import cautions
from allocator.showing.sums import currents, totals
from allocator.showing.weak_points import weak_points

if TYPE_CHECKING:
    from allocator.checking import Report
    from allocator.problem import Problem

_COLUMNS = (
    Column(heading="rule"),
    Column(heading="object"),
    Column(heading="amount", number=True),
    Column(heading="unit", whole=True),
    Column(heading="what"),
)


def verdict(report: Report) -> tuple[Block, ...]:
    """Clean, or every violation with its rule, object and amount."""
    if report.clean:
        return (Paragraph("Clean: the layout breaks no rule.", "good"),)
    count = len(report.violations)
    return (
        Paragraph(f"{counted(count, 'violation')} of the rules:", "bad"),
        Table(
            title="",
            columns=_COLUMNS,
            rows=tuple(
                (found.rule, found.object, _amount(found.amount), found.unit, found.text) for found in report.violations
            ),
        ),
    )


def _amount(value: float) -> str:
    return short(float(f"{value:.4g}"))


def checked(problem: Problem, report: Report) -> tuple[Block, ...]:
    """The verdict, then the sums and weak points of the layout with what a hand left out filled in."""
    return (
        Heading(f"{problem.name}: check of a layout"),
        *verdict(report),
        *totals(report.layout),
        *currents(problem, report.layout),
        *weak_points(problem, report.layout),
        *cautions(problem),
    )


def as_json(problem: Problem, report: Report) -> str:
    """The verdict for programs."""
    body = {
        "problem": {"name": problem.name, "sha256": problem.digest},
        "clean": report.clean,
        "violations": [
            {
                "rule": found.rule,
                "object": found.object,
                "amount": found.amount,
                "unit": found.unit,
                "text": found.text,
            }
            for found in report.violations
        ],
    }
    return json.dumps(body, indent=1, ensure_ascii=False) + "\n"

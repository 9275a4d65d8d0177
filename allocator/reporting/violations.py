"""What the check found: for people and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from allocator.analysis.energy import Energy
from allocator.analysis.energy import energy as energy_of
from allocator.analysis.failures import Failure, failures_of
from allocator.analysis.margins import Margin, margins_of
from allocator.checking.report import violation_table
from allocator.evaluation.bundle_figures import Bundle, bundles_of
from allocator.reporting.blocks import Block, Heading, Paragraph, counted
from allocator.reporting.bundled import bundled
from allocator.reporting.cautions import cautions
from allocator.reporting.failing import failing
from allocator.reporting.headroom_report import room, room_as_data
from allocator.reporting.totals import currents, energy, totals
from allocator.reporting.weak_points import weak_points

if TYPE_CHECKING:
    from allocator.analysis.headroom import Headroom
    from allocator.checking import Report, Violation
    from allocator.problem import Problem


def verdict_of(broken: tuple[Violation, ...]) -> tuple[Block, ...]:
    """Clean, or every violation with its rule, object and amount."""
    if not broken:
        return (Paragraph("Clean: the layout breaks no rule.", "good"),)
    count = len(broken)
    return (
        Paragraph(f"{counted(count, 'violation')} of the rules:", "bad"),
        violation_table(broken),
    )


def checked(problem: Problem, report: Report, headroom: Headroom | None = None) -> tuple[Block, ...]:
    """The verdict, then the sums and weak points of the layout with what a hand left out filled in."""
    context = report.context
    return (
        Heading(f"{problem.name}: check of a layout"),
        *verdict_of(report.violations),
        *totals(report.layout),
        *currents(problem, report.layout),
        *bundled(context, in_full=True),
        *weak_points(context),
        *failing(problem, failures_of(context)),
        *energy(problem, report.layout),
        *(() if headroom is None else room(headroom)),
        *cautions(problem),
    )


def as_json(problem: Problem, report: Report, headroom: Headroom | None = None) -> str:
    """The verdict for programs, with every single failure, those that lose the most first, and the energy."""
    context = report.context
    found = failures_of(context)
    made_for = report.layout.problem_sha256
    body: dict[str, Any] = {
        "problem": {"name": problem.name, "sha256": problem.digest},
        "clean": report.clean,
        "violations": violations_listed(report.violations),
        "made_for_this_state": made_for == problem.digest if made_for else None,
        "totals": None if report.layout.totals is None else asdict(report.layout.totals),
        "bundles": bundles_as_data(bundles_of(context)),
        "weakest": margins_as_data(margins_of(context).weakest()),
        "failures": failures_listed(found.worst(len(found.failures))),
        "unfed": found.unfed,
        "never": found.never,
        "energy": energy_as_data(energy_of(problem, report.layout)),
    }
    if headroom is not None:
        body["headroom"] = room_as_data(headroom)
    return json.dumps(body, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def violations_listed(found: Iterable[Violation]) -> list[dict[str, Any]]:
    """Violations as plain data."""
    return [asdict(one) for one in found]


def failures_listed(found: Iterable[Failure]) -> list[dict[str, Any]]:
    """Failures as plain data, with the functions that they end and degrade."""
    return [asdict(one) | {"gone": one.gone, "degraded": one.degraded} for one in found]


def bundles_as_data(found: Iterable[Bundle]) -> list[dict[str, Any]]:
    """Bundles as plain data, by segment; ``share`` is None where no heat at all is allowed."""
    return [
        asdict(one)
        | {
            "loading": dict(one.loading),
            "warmth": [asdict(w) | {"share": w.share if w.share < float("inf") else None} for w in one.warmth],
        }
        for one in found
    ]


def margins_as_data(found: Iterable[Margin]) -> list[dict[str, Any]]:
    """Margins as plain data; ``used`` is None where nothing at all is allowed."""
    return [asdict(one) | {"used": one.used if one.used < float("inf") else None} for one in found]


def energy_as_data(found: Energy) -> dict[str, Any]:
    """Balances of the sources, and every load that draws on one, as plain data."""
    return {
        "balances": [
            asdict(one) | {"surplus_a": one.surplus_a, "hours_alone": one.hours_alone} for one in found.balances
        ],
        "uses": [asdict(one) for one in found.uses],
        "unfed": found.unfed,
    }

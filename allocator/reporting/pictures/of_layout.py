"""Pictures of a layout in files of their own: plan view, loading of every output."""

from __future__ import annotations

from pathlib import Path

from allocator.evaluation.prepare import prepare
from allocator.evaluation.recompute import recomputed
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting.loaded import loaded_outputs
from allocator.reporting.pictures import saving
from allocator.reporting.pictures.plan import plan
from allocator.reporting.pictures.strips import strips
from allocator.reporting.runs import stretches


def save_plan(problem: Problem, layout: Layout, path: Path) -> None:
    """Draw the machine in plan view into a PNG or SVG file.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    context = prepare(problem, layout)
    whole = recomputed(context)
    found = stretches(context, whole)
    saving.write(plan(problem, whole, found, alone=True).drawing, path)


def save_loading(problem: Problem, layout: Layout, path: Path) -> None:
    """Draw what every output carries in each condition into a PNG or SVG file.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    outputs = loaded_outputs(prepare(problem, layout))
    units = dict.fromkeys(one.unit for one in outputs)
    own = [(f"Unit {name}", [one for one in outputs if one.unit == name]) for name in units]
    saving.write(strips(own, problem.conditions), path)

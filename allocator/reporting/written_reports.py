"""What ``report`` has written, with the rules that the layout breaks on top: for people and for programs."""

from __future__ import annotations

import json
from typing import Any

from allocator.pareto_front import Tradeoff
from allocator.reporting.blocks import Block, Heading, Paragraph
from allocator.reporting.cautions import cautions
from allocator.reporting.lists import Build, made
from allocator.reporting.lists.sheets import WORKBOOK
from allocator.reporting.page import PAGE
from allocator.reporting.tradeoffs import record
from allocator.reporting.violations import verdict_of, violations_listed
from allocator.table import Table, count, text

_COLUMNS = (text("list", whole=True), text("what"), count("rows"))


def reported(build: Build) -> tuple[Block, ...]:
    """The verdict, then the lists by name, then the cautions."""
    rows = tuple((one.name, one.title, len(one.rows)) for one in made(build))
    return (
        Heading(f"{build.problem.name}: lists of a layout"),
        *verdict_of(build.report.violations),
        Table(columns=_COLUMNS, rows=rows),
        Paragraph(f"Each as CSV, and all of them in {WORKBOOK}; the last one says what they are based on.", "quiet"),
        Paragraph(f"{PAGE} shows the layout.", "quiet"),
        *cautions(build.problem),
    )


def as_json(build: Build, tradeoff: Tradeoff | None = None) -> str:
    """The verdict and every list, row by row under its headings; the trade-off where it is given."""
    body: dict[str, Any] = {
        "problem": {"name": build.problem.name, "sha256": build.digest},
        "clean": build.report.clean,
        "violations": violations_listed(build.report.violations),
        "lists": {one.name: one.records() for one in made(build)},
    }
    if tradeoff is not None:
        body["tradeoff"] = record(tradeoff)
    return json.dumps(body, indent=1, ensure_ascii=False, allow_nan=False) + "\n"

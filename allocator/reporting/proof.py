"""What is known about how good a layout is, in one sentence; and, with no layout, what is known instead."""

from __future__ import annotations

from typing import Any

from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL, Layout
from allocator.reporting.blocks import Block, Paragraph, counted, number

TITLES = {NOTHING_FOUND: "no layout found"}
"""Status words that read better in a heading in other words."""


def proof(layout: Layout) -> tuple[Block, ...]:
    """The proof in one line, then what was cut short, one line each."""
    listed = dict(layout.listed)
    tone = {OPTIMAL: "good", INFEASIBLE: "bad", NOTHING_FOUND: "bad"}.get(layout.status, "plain")
    cuts = [f"Not every option was tried: {text}" for text in listed.get("cut_short", ())]
    return (Paragraph(sentence(layout), tone), *(Paragraph(cut) for cut in cuts))


def sentence(layout: Layout) -> str:
    """The proof in one sentence that starts 'For these inputs'."""
    over = _over(dict(layout.listed))
    if layout.status == OPTIMAL:
        return (
            "For these inputs no layout weighs less than "
            f"{number(layout.objective_g, 1)} g in the objective: proven optimal{over}."
        )
    if layout.status == FEASIBLE:
        return (
            f"For these inputs the best layout found weighs {number(layout.objective_g, 1)} g in the "
            f"objective; it is not proven to be the least, and {_bound(layout)}{over}."
        )
    if layout.status == INFEASIBLE:
        return f"For these inputs no layout is possible: proven{over}."
    if layout.status == NOTHING_FOUND:
        return (
            "For these inputs no layout was found before the search ended, and it is not proven that there is none; "
            f"{_bound(layout)}{over}."
        )
    return "For these inputs nothing is proven: the layout was made by hand."


def _bound(layout: Layout) -> str:
    if layout.bound_g is None:
        return "no bound is known"
    text = f"none can weigh less than {number(layout.bound_g, 1)} g"
    return text if layout.gap is None else f"{text} (gap {gap_text(layout.gap)})"


def gap_text(gap: float | None) -> str:
    """A gap in percent that never rounds to a false zero."""
    if gap is None:
        return "unknown"
    percent = 100.0 * gap
    return f"{percent:.2f} %" if percent == 0.0 or percent >= 0.005 else f"{percent:.1e} %"


def _over(listed: dict[str, Any]) -> str:
    options = listed.get("options")
    return "" if not options else f" over {counted(int(options), 'option')} listed"


def no_layout(layout: Layout) -> tuple[Block, ...]:
    """What is known when the search was stopped with no layout to show, and what to do next."""
    return (*proof(layout), Paragraph("Give it more time with --time-limit, or a known layout with --start."))

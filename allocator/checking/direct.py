"""The rule on the source that feeds direct loads."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach
from allocator.evaluation.context import Context


def direct_source(context: Context) -> Iterator[Breach]:
    """A direct load is fed from the first source of the problem."""
    first = context.problem.sources[0].name
    for direct in context.direct:
        if direct.circuit.source != first:
            text = f"{direct.label} is fed from source '{direct.circuit.source}', instead of {first}"
            yield Breach(direct.label, 1, "source", text)

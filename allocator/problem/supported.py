"""What a problem may already say and the engine does not obey yet: refused, never passed over.

To support one of them, take its row out of the table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from allocator.problem.draft import Draft
from allocator.problem.mistakes import Mistake

Where = tuple[str, str | None, str, str | None]
"""Table, row, field and value of something that is not obeyed."""


def _bundle(draft: Draft) -> Iterator[Where]:
    if draft.margins is not None and draft.margins.bundle:
        yield "margins", None, "bundle", "true"


NOT_YET: tuple[tuple[Callable[[Draft], Iterator[Where]], str, str], ...] = (
    (_bundle, "bundle factors", "Write bundle = false under [margins]"),
)
"""What finds it, what to call it, what to do meanwhile."""


def unsupported(draft: Draft) -> tuple[Mistake, ...]:
    """Everything in a problem that is read and not obeyed."""
    return tuple(
        Mistake(
            table=table,
            row=row,
            field=field,
            value=value,
            wrong=f"is not yet supported: {what}",
            remedy=remedy,
        )
        for find, what, remedy in NOT_YET
        for table, row, field, value in find(draft)
    )

"""What the parts of a problem must be to each other."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.problem.agreements import agreements
from allocator.problem.bundles import bundles
from allocator.problem.draft import Draft
from allocator.problem.mistakes import Mistake, MistakeKind
from allocator.problem.reach import reach
from allocator.problem.references import references


def cross_mistakes(draft: Draft) -> tuple[Mistake, ...]:
    """Everything that is wrong between the parts, each mistake once.

    A name or a part that could not be read is not checked any further: it was reported already.
    """
    found = [*_empty(draft), *references(draft), *agreements(draft), *bundles(draft)]
    if not any(mistake.kind is MistakeKind.UNKNOWN_NAME for mistake in found):
        # a name that is written wrong would cut its place off as well
        found += reach(draft)
    return tuple(dict.fromkeys(found))


def _empty(draft: Draft) -> Iterator[Mistake]:
    """A problem needs at least one of each of these."""
    parts = {
        "loads": draft.loads,
        "places": draft.places,
        "unit_types": draft.unit_types,
        "units": draft.units,
        "sources": draft.sources,
    }
    for table, objects in parts.items():
        if not objects and table in draft.whole:
            yield Mistake(table=table, wrong="there are none", remedy="Give at least one")

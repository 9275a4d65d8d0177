"""What is too heavy for any better layout, by a proven bound."""

from __future__ import annotations

from dataclasses import dataclass

from allocator.options.lazy_rows import LazyRows


@dataclass(frozen=True)
class PruningBound:
    """Pruning by bound: the incumbent is ``more_g`` above a bound on all layouts, proven with some lazy rows.

    What weighs more than that above the lightest that is the same to those segments is in no better layout: with the
    lightest in its place all rows of that bound would still hold, at less than the bound.

    This is no cutoff of the solver, which ends a search: it keeps options out of the list.
    """

    lazy: LazyRows
    more_g: float

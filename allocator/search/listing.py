"""How the options of a search are listed: those of a problem, or of a revision of what is built."""

from __future__ import annotations

from typing import Protocol

from allocator.options import LazyRows, OptionList, PruningBound
from allocator.options.option_list import Pairs


class Listing(Protocol):
    """Lists options, as `list_options` does of a problem."""

    def __call__(
        self,
        *,
        only: Pairs | None = None,
        lazy: LazyRows | None = None,
        prunings: tuple[PruningBound, ...] = (),
    ) -> OptionList:
        """Options for such lazy rows: parameters as of `list_options`."""
        ...

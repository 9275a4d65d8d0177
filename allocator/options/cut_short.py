"""What was not listed in full: a code to decide by with its figures, and the sentence made of it at the end."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

PLACES_SHOWN = 3


class Cut(StrEnum):
    """What a cap, or the time, has left out."""

    SETS = "sets"
    ALIKE_RETURNS = "alike returns"
    SHARED_RETURNS = "shared returns"
    FINISHED_RETURNS = "finished returns"
    ROUTES = "routes"
    ROUTES_ROUND = "routes round"
    TREE = "tree"
    TIME = "time"


_ROUTES = (
    "Routes from '{}' to or by way of {}: the {} shortest were kept, and longer ones only where cooler, with other "
    "insulation asked for, or crossing a bulkhead less often than all of them"
)
_SENTENCES = {
    Cut.SETS: "share word '{}': only the nearest {} sets of loads are listed",
    Cut.ALIKE_RETURNS: "return wires of alike loads on one output: only listed alike where there are many ways to mix "
    "them",
    Cut.SHARED_RETURNS: "return wires of shared outputs: not every combination is listed",
    Cut.FINISHED_RETURNS: "return wires of finished circuits: not every combination is listed",
    Cut.ROUTES: f"{_ROUTES}.",
    Cut.ROUTES_ROUND: f"{_ROUTES}, or going round one of these segments where all of them pass it: {{}}.",
    Cut.TREE: "The tree from '{}' to {} places is an approximation, at most twice as long as the shortest: trees are "
    "exact for up to {} places.",
    Cut.TIME: "Time ran out before every option was listed.",
}


@dataclass(frozen=True, slots=True)
class CutShort:
    """What was not listed in full.

    Parameters
    ----------
    what
        The code of it.
    named
        What its sentence speaks of, in the order that it is said: names (a tuple where there are several) and numbers.
    """

    what: Cut
    named: tuple[str | int | tuple[str, ...], ...] = ()

    @property
    def text(self) -> str:
        """What was left out in words, as the user is shown it."""
        return _SENTENCES[self.what].format(*(_listed(one) if isinstance(one, tuple) else one for one in self.named))


def _listed(names: tuple[str, ...]) -> str:
    others = f" and {len(names) - PLACES_SHOWN} more" if len(names) > PLACES_SHOWN else ""
    return ", ".join(f"'{name}'" for name in names[:PLACES_SHOWN]) + others

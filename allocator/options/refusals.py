"""Why a circuit has no option at a class of a slot: a code to decide by, and the sentence made of it at the end."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Why(StrEnum):
    """What stands against a circuit at a class of a slot."""

    OTHER_UNIT = "other unit"
    OTHER_OUTPUT = "other output"
    CAPABILITY = "capability"
    KEPT_FOR_ANOTHER = "kept for another"
    CURRENT = "current"
    OUTPUTS = "outputs"
    NO_TRIP = "no trip"
    MAX_TRIP = "max_trip"
    STALL = "stall"
    START = "start"
    NO_ROUTE = "no route"
    NO_WIRE = "no wire"
    NO_RETURN = "no return"
    TERMINAL = "terminal"
    DROP = "drop"
    MEASURED = "measured"
    NO_TREE = "no tree"
    WET_SPLICE = "wet splice"
    NO_COMMON_SIZE = "no common size"


_SENTENCES = {
    Why.OTHER_UNIT: "'{}' is pinned to unit '{}'",
    Why.OTHER_OUTPUT: "'{}' is pinned to output '{}'",
    Why.CAPABILITY: "class '{}' lacks '{}'",
    Why.KEPT_FOR_ANOTHER: "output '{}' is kept for the load pinned to it",
    Why.CURRENT: "current over what the output carries after output_use",
    Why.OUTPUTS: "too few outputs of the class",
    Why.NO_TRIP: "no trip setting between the load's current and the output's rating",
    Why.MAX_TRIP: "trip over the max_trip of '{}'",
    Why.STALL: "trip not below the stall current of '{}'",
    Why.START: "start current above what the output withstands for that long",
    Why.NO_ROUTE: "no route from the site",
    Why.NO_WIRE: "no wire carries the trip on the route",
    Why.NO_RETURN: "no return wire carries the trip",
    Why.TERMINAL: "no wire that the terminal takes carries the trip",
    Why.DROP: "drop over the limit even with the heaviest wire",
    Why.MEASURED: "the run to '{}' was measured, so it is not shared",
    Why.NO_TREE: "no route that is open to wires joins all of them",
    Why.WET_SPLICE: "a splice would be in a wet place at '{}'",
    Why.NO_COMMON_SIZE: "no wire of one size carries trip and drop",
}


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a circuit has no option at a class of a slot: what was asked, what there is, in which unit.

    ``names`` are what the sentence of ``why`` speaks of. ``asked`` and ``limit`` are None where it is not a quantity.
    """

    loads: tuple[str, ...]
    slot: int
    slot_class: int
    why: Why
    names: tuple[str, ...] = ()
    asked: float | None = None
    limit: float | None = None
    unit: str = ""

    @property
    def reason(self) -> str:
        """The reason in words, without figures."""
        return _SENTENCES[self.why].format(*self.names)

    @property
    def distance(self) -> float:
        """By what share the limit is exceeded; without figures it comes after all that have some."""
        if self.asked is None or self.limit is None:
            return float("inf")
        return abs(self.asked - self.limit) / max(abs(self.limit), 1e-9)

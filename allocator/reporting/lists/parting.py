"""Where connectors part a wire, and how its length is shared out: a gland parts none.

Where in its segment a bulkhead stands the problem does not say: it is taken to stand in the middle. So a piece may
really end up to half that segment away, and its list says by how much. A bulkhead that has a place of its own, with a
segment of no length through it, makes the cut exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from allocator.evaluation.laid_conductors import Conductor
from allocator.layout import Contact
from allocator.problem import Problem


@dataclass(frozen=True, slots=True)
class Cut:
    """Where a connector parts a wire: metres of its route to there, how unsure that is, and the contact."""

    at_m: float
    tolerance_m: float
    bulkhead: str
    contact: str
    after: int


def cuts_of(
    problem: Problem, conductor: Conductor | None, contacts: Sequence[Contact], *, stud: bool = False
) -> tuple[Cut, ...]:
    """Where connectors part a wire, in order.

    Parameters
    ----------
    problem
        The problem with its segments and bulkheads.
    conductor
        The wire with its way; where the wire or the way is None there are no cuts.
    contacts
        The contacts that the wire was given, one for each connector.
    stud
        Whether the wire takes a stud there, as a feed does, and not a contact.
    """
    route = None if conductor is None else conductor.route
    if route is None:
        return ()
    left = list(contacts)
    cuts, passed_m = [], 0.0
    for n, number in enumerate(route.segments):
        segment = problem.segments[number]
        if segment.bulkhead is not None:
            contact = next((one for one in left if one.bulkhead == segment.bulkhead), None)
            if contact is not None:
                left.remove(contact)
            if problem.bulkhead[segment.bulkhead].kind == "connector":
                half_m = segment.length_m / 2.0
                pin = "stud" if stud else _number(contact)
                cuts.append(Cut(passed_m + half_m, half_m, segment.bulkhead, pin, n))
        passed_m += segment.length_m
    return tuple(cuts)


def shares_m(ways_m: Sequence[float], length_m: float, tail_m: float, *, measured: bool = False) -> list[float]:
    """Lengths of the pieces of a wire, which sum up to it exactly.

    Each piece has its part of the route, the first and the last half the tail each; what the item's own lead takes off
    comes off the last. A measured length holds all that, so it is shared out like the route.

    Parameters
    ----------
    ways_m
        Lengths of route from end to end of each piece, in m.
    length_m
        Length of the whole wire to cut, in m.
    tail_m
        What ends and a loop add to a wire, in m.
    measured
        Whether the length was measured.
    """
    if len(ways_m) == 1:
        return [length_m]
    total = sum(ways_m)
    pieces = list(ways_m)
    if measured:
        pieces = [length_m * (way / total if total > 0.0 else 1.0 / len(pieces)) for way in pieces]
    else:
        pieces[0] += tail_m / 2.0
        pieces[-1] += tail_m / 2.0
    pieces = [round(piece, 6) for piece in pieces]
    over = sum(pieces) - length_m
    for n in reversed(range(len(pieces))):
        taken = max(min(over, pieces[n]), 0.0)
        pieces[n] -= taken
        over -= taken
    pieces[-1] -= min(over, 0.0)
    return pieces


def _number(contact: Contact | None) -> str:
    return "" if contact is None or contact.number is None else f"{contact.number}"

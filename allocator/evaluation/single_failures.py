"""What each single failure takes away."""

from __future__ import annotations

from collections.abc import Callable

from allocator.evaluation.branches import Fed
from allocator.evaluation.context import Context

Taken = dict[str, set[str]]  # failure, as named in violations: loads that it takes away
ONE_BANK = "the one bank"  # of a unit that names none


def _source(context: Context) -> Taken:
    taken: Taken = {}
    for fed in context.circuits:
        if fed.mounted is not None:
            taken.setdefault(f"source {fed.mounted.unit.source}", set()).update(_names(fed))
    for direct in context.layout.direct:
        taken.setdefault(f"source {direct.source}", set()).add(direct.load)
    return taken


def _feed(context: Context) -> Taken:
    return _grouped(context, lambda fed: [f"the feed of unit {fed.circuit.unit}"])


def _unit(context: Context) -> Taken:
    return _grouped(context, lambda fed: [f"unit {fed.circuit.unit}"])


def _bank(context: Context) -> Taken:
    return _grouped(context, _banks)


def _output(context: Context) -> Taken:
    return _grouped(context, lambda fed: [f"output {pin} of unit {fed.circuit.unit}" for pin in fed.circuit.pins])


def _bulkhead(context: Context) -> Taken:
    taken: Taken = {}
    for fed in context.circuits:
        feed = context.feeds.get(fed.circuit.unit)
        if feed is not None and feed.route is not None:
            for name in feed.route.bulkheads:
                taken.setdefault(f"bulkhead {name}", set()).update(_names(fed))
    for branch in context.branches:
        behind = dict(branch.joints.downstream) if isinstance(branch, Fed) and branch.joints is not None else {}
        for n, conductor in branch.pairs():
            if conductor.route is not None:
                for name in conductor.route.bulkheads:
                    loads = behind.get(n, branch.wires[n].loads)
                    taken.setdefault(f"bulkhead {name}", set()).update(loads)
    return taken


def _stud(context: Context) -> Taken:
    studs = [place.name for place in context.problem.places if place.stud_a is not None]
    return {f"stud {name}": {load.name for load in context.returning_to(name)} for name in studs}


FAILED: dict[str, Callable[[Context], Taken]] = {
    "source": _source,
    "feed": _feed,
    "unit": _unit,
    "bank": _bank,
    "output": _output,
    "bulkhead": _bulkhead,
    "stud": _stud,
}


def _banks(fed: Fed) -> list[str]:
    """Banks that feed a circuit; a unit that names none is one bank."""
    if fed.mounted is not None and not fed.mounted.type.banks:
        return [f"{ONE_BANK} of unit {fed.circuit.unit}"]
    return [f"bank {bank} of unit {fed.circuit.unit}" for bank in fed.banks]


def _grouped(context: Context, failures: Callable[[Fed], list[str]]) -> Taken:
    taken: Taken = {}
    for fed in context.circuits:
        for failure in failures(fed):
            taken.setdefault(failure, set()).update(_names(fed))
    return taken


def _names(fed: Fed) -> set[str]:
    return {load.name for load in fed.loads}

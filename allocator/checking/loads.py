"""Rules on loads: each is fed once, together where asked, from where the user pinned it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach
from allocator.evaluation.context import Context
from allocator.problem import Supply
from allocator.problem.near_misses import near_miss


def load_known(context: Context) -> Iterator[Breach]:
    """A circuit feeds loads of the problem only."""
    for fed in context.circuits:
        for name in sorted({name for name in fed.circuit.loads if name not in context.problem.load}):
            text = f"{fed.label} feeds '{name}', which is not a load of the problem{_meant(context, name)}"
            yield Breach(fed.label, 1, "load", text)
    for direct in context.layout.direct:
        if direct.load not in context.problem.load:
            text = (
                f"'{direct.load}' is fed from a source, but is not a load of the problem{_meant(context, direct.load)}"
            )
            yield Breach(f"direct {direct.load}", 1, "load", text)


def _meant(context: Context, name: str) -> str:
    near = near_miss(name, context.problem.load, cutoff=0.6)
    return "" if near is None else f"; '{near}' is perhaps meant"


def fed_once(context: Context) -> Iterator[Breach]:
    """Each load fed by units is in exactly one circuit, once."""
    times = Counter(name for fed in context.circuits for name in fed.circuit.loads)
    for load in context.problem.loads:
        if load.supply is Supply.UNIT and times[load.name] != 1:
            how = "not at all" if times[load.name] == 0 else f"{times[load.name]} times"
            text = f"load {load.name} is fed {how}, instead of once"
            yield Breach(f"load {load.name}", abs(times[load.name] - 1), "times", text)


def direct_fed(context: Context) -> Iterator[Breach]:
    """A load fed from the source is listed there once, and on no unit; others are not listed there."""
    on_units = Counter(name for fed in context.circuits for name in fed.circuit.loads)
    at_source = Counter(direct.load for direct in context.layout.direct)
    for load in context.problem.loads:
        asked = 1 if load.supply is Supply.DIRECT else 0
        object_ = f"load {load.name}"
        if asked and on_units[load.name]:
            text = f"load {load.name} is to be fed from its source, but a unit feeds it"
            yield Breach(object_, on_units[load.name], "circuits", text)
        if at_source[load.name] != asked:
            text = f"load {load.name} is fed from a source {at_source[load.name]} times, instead of {asked}"
            yield Breach(object_, abs(at_source[load.name] - asked), "times", text)


def together(context: Context) -> Iterator[Breach]:
    """Loads with the same ``together`` word are fed by one unit."""
    units: dict[str, set[str]] = {}
    for fed in context.circuits:
        for load in fed.loads:
            if load.together is not None:
                units.setdefault(load.together, set()).add(fed.circuit.unit)
    for word, names in sorted(units.items()):
        if len(names) > 1:
            text = f"loads together as '{word}' are fed by {len(names)} units: {', '.join(sorted(names))}"
            yield Breach(f"together {word}", len(names) - 1, "units", text)


def pinned_unit(context: Context) -> Iterator[Breach]:
    """A load that the user put on a unit is fed by it."""
    for fed in context.circuits:
        for load in fed.loads:
            if load.unit is not None and load.unit != fed.circuit.unit:
                text = f"load {load.name} is pinned to unit {load.unit}, but unit {fed.circuit.unit} feeds it"
                yield Breach(f"load {load.name}", 1, "unit", text)


def pinned_output(context: Context) -> Iterator[Breach]:
    """A load that the user put on an output is fed by it, alone or among others of its group."""
    for fed in context.circuits:
        for load in fed.loads:
            if load.output is not None and load.output not in fed.circuit.pins:
                pins = ", ".join(fed.circuit.pins)
                text = f"load {load.name} is pinned to output {load.output}, not to {pins}"
                yield Breach(f"load {load.name}", 1, "output", text)

"""Rules on outputs: which pins feed a circuit, how many, and what each may carry."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Fed
from allocator.evaluation.context import Context
from allocator.evaluation.tolerance import excess
from allocator.problem import OutputClass


def pin_known(context: Context) -> Iterator[Breach]:
    """A circuit is fed by pins that its unit has."""
    for fed in context.circuits:
        if fed.mounted is None:
            continue
        for pin, output_class in zip(fed.circuit.pins, fed.classes, strict=True):
            if output_class is None:
                text = f"{fed.label} is fed by pin {pin}, which unit {fed.circuit.unit} does not have"
                yield Breach(fed.label, 1, "pin", text)
        if not fed.circuit.pins:
            yield Breach(fed.label, 1, "pin", f"{fed.label} is fed by no pin")


def pin_used_once(context: Context) -> Iterator[Breach]:
    """A pin feeds one circuit, once."""
    times = Counter((fed.circuit.unit, pin) for fed in context.circuits for pin in fed.circuit.pins)
    for (unit, pin), count in sorted(times.items()):
        if count > 1:
            text = f"output {pin} of unit {unit} is used {count} times"
            yield Breach(f"output {pin} of unit {unit}", count - 1, "times", text)


def one_class(context: Context) -> Iterator[Breach]:
    """The pins of a circuit are of one class in one bank, the one that the layout states."""
    for fed in context.circuits:
        known = list(dict.fromkeys(one for one in fed.classes if one is not None))
        if len(known) > 1:
            names = ", ".join(_described(one) for one in known)
            text = f"{fed.label} is fed by outputs that are not alike: {names}"
            yield Breach(fed.label, len(known) - 1, "classes", text)
        own = fed.output_class
        stated = (fed.circuit.output_class, fed.circuit.bank)
        if own is not None and stated != (own.name, own.bank):
            text = f"{fed.label} is stated to be fed by {_words(*stated)}, but its pins are {_described(own)}"
            yield Breach(fed.label, 1, "class", text)


def bridge_pair(context: Context) -> Iterator[Breach]:
    """A load that reverses takes two outputs, and shares them with no other."""
    for fed in context.circuits:
        if fed.bridge and len(fed.circuit.pins) != 2:
            text = f"{fed.label} reverses and takes 2 outputs, but has {len(fed.circuit.pins)}"
            yield Breach(fed.label, abs(len(fed.circuit.pins) - 2), "outputs", text)


def outputs_in_parallel(context: Context) -> Iterator[Breach]:
    """No more outputs in parallel than the class allows; one output for loads that share."""
    for fed in context.circuits:
        if fed.output_class is not None and not fed.bridge:
            most = 1 if fed.shared else max(fed.output_class.parallel, 1)
            if fed.parallel > most:
                over = fed.parallel - most
                text = f"{fed.label} has {fed.parallel} outputs in parallel, {over} more than allowed"
                yield Breach(fed.label, over, "outputs", text)


def least_outputs(context: Context) -> Iterator[Breach]:
    """No more outputs in parallel than carry the circuit: they are never added to save wire."""
    for fed in context.circuits:
        if fed.output_class is None or fed.bridge or fed.parallel == 1:
            continue
        least = next((k for k in range(1, fed.parallel) if _short_a(context, fed, k) == 0.0), None)
        if least is not None:
            text = f"{fed.label} has {fed.parallel} outputs in parallel where {least} would carry it"
            yield Breach(fed.label, fed.parallel - least, "outputs", text)


def capability(context: Context) -> Iterator[Breach]:
    """An output has every capability that its loads need."""
    for fed in context.circuits:
        for pin, output_class in zip(fed.circuit.pins, fed.classes, strict=True):
            able = set(output_class.capabilities) if output_class is not None else None
            for load in fed.loads:
                missing = [word for word in load.needs if able is not None and word not in able]
                if missing:
                    text = f"load {load.name} needs {', '.join(missing)}, which output {pin} cannot do"
                    yield Breach(f"load {load.name}", len(missing), "capabilities", text)


def output_current(context: Context) -> Iterator[Breach]:
    """Full current of a circuit within the share of the rating of its outputs: ``I <= k pu r output_use``."""
    for fed in context.circuits:
        short = _short_a(context, fed, fed.parallel)
        if short > 0.0:
            text = (
                f"{fed.label} carries {number(fed.current_a)} A, "
                f"{number(short)} A over the {number(fed.current_a - short)} A of its outputs"
            )
            yield Breach(fed.label, short, "A", text)


def _short_a(context: Context, fed: Fed, k: int) -> float:
    """By how much ``k`` outputs of its class fall short of a circuit."""
    if fed.output_class is None or fed.rating_a is None:
        return 0.0
    share = fed.output_class.parallel_use if k > 1 else 1.0
    return excess(fed.current_a, k * share * fed.rating_a * context.problem.margins.output_use)


def _described(output_class: OutputClass) -> str:
    return _words(output_class.name, output_class.bank)


def _words(name: str | None, bank: str | None) -> str:
    return f"class {name}" if bank is None else f"class {name} in bank {bank}"

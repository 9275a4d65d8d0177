"""The rule on what a short circuit puts into a wire before its protector clears it."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Fed
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.tolerance import excess
from allocator.problem import OutputClass
from allocator.wiring import withstand_a2s

FUSE_MULTIPLE, FUSE_S = 6.0, 0.1  # the 600 % gate of ISO 8820-3, its longest time (from memory)


def short_circuit(context: Context) -> Iterator[Breach]:
    """``(k S)^2 >= let-through``: of an output in all its tries, of a fuse once."""
    for conductor, let_through, behind in _faults(context):
        if conductor.row is None:
            continue
        over = excess(let_through, withstand_a2s(conductor.row))
        if over > 0.0:
            text = (
                f"{conductor.label} of {conductor.row.size} withstands {number(withstand_a2s(conductor.row))} A2s in a "
                f"short circuit, {number(over)} A2s less than its {behind} lets through"
            )
            yield Breach(conductor.label, over, "A2s", text)


def output_lets_through_a2s(output_class: OutputClass) -> float | None:
    """``(1 + retries) max(a^2 t)`` over the peaks of an output; None where it names no peaks."""
    once = max((amperes**2 * seconds for amperes, seconds in output_class.peaks), default=None)
    return None if once is None else (1 + output_class.retries) * once


def fuse_lets_through_a2s(fuse_a: float) -> float:
    """What a fuse lets through before it has certainly cleared: 6 times its rating for 0.1 s."""
    return (FUSE_MULTIPLE * fuse_a) ** 2 * FUSE_S


def _faults(context: Context) -> Iterator[tuple[Conductor, float, str]]:
    for fed in context.circuits:
        yield from _of_circuit(fed)
    fused = [*context.feeds.values(), *(conductor for direct in context.direct for conductor in direct.conductors)]
    for conductor in fused:
        if conductor.guard_a is not None:
            yield conductor, fuse_lets_through_a2s(conductor.guard_a), f"fuse of {number(conductor.guard_a)} A"


def _of_circuit(fed: Fed) -> Iterator[tuple[Conductor, float, str]]:
    """Wires of a circuit; the outputs of a parallel group all feed a fault behind the load into its return."""
    let_through = output_lets_through_a2s(fed.output_class) if fed.output_class is not None else None
    if fed.output_class is None or let_through is None:
        return
    tries = fed.output_class.retries + 1
    for n, conductor in fed.pairs():
        if fed.wires[n].role == "return" and fed.parallel > 1:
            outputs = f"{fed.parallel} outputs in {tries} tries" if tries > 1 else f"{fed.parallel} outputs"
            yield conductor, fed.parallel**2 * let_through, f"group of {outputs}"
        else:
            yield conductor, let_through, f"output in {tries} tries" if tries > 1 else "output"

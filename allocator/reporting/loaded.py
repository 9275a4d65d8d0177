"""Every output of the fitted units with what it carries in each condition against what it may."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from allocator.evaluation.branches import Fed, Mounted
from allocator.evaluation.context import Context
from allocator.layout import Circuit
from allocator.problem import OutputClass
from allocator.reporting.outputs import pin_states, which

USED = "used"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedOutput:
    """One output: ``current_a`` per condition (heating, nominal), ``full_a`` what wire and trip are sized for.

    ``rating_a`` is that at the site, ``allowed_a`` what of it may be used. ``state`` is used, spare or unused. Of
    outputs in parallel each has its part; of a bridge pair each carries all of it.
    """

    unit: str
    pin: str
    output_class: str
    bank: str | None
    state: str
    loads: str
    which: str
    rating_a: float
    allowed_a: float
    full_a: float
    trip_a: float | None
    current_a: tuple[float, ...]
    circuit: str | None

    @property
    def feeds(self) -> str:
        """The loads, and in a group of outputs which of how many it is."""
        return f"{self.loads}{self.which}"


def loaded_outputs(context: Context) -> tuple[LoadedOutput, ...]:
    """Every output of every fitted unit, in the order of the problem's units and of their pins."""
    order = [unit.name for unit in context.problem.units]
    mounted = sorted(context.mounted.values(), key=lambda one: order.index(one.name))
    return tuple(output for one in mounted for output in _of_unit(context, one))


def _of_unit(context: Context, mounted: Mounted) -> Iterator[LoadedOutput]:
    feeds = {pin: fed for fed in context.on_unit(mounted.name) for pin in fed.circuit.pins}
    circuits: dict[str, Circuit] = {pin: fed.circuit for pin, fed in feeds.items()}
    states = pin_states(mounted.type, mounted.stated, circuits)
    for output in mounted.type.outputs:
        for pin in output.pins:
            yield _one(context, mounted, output, pin, feeds.get(pin), states[pin])


def _one(
    context: Context, mounted: Mounted, output: OutputClass, pin: str, fed: Fed | None, state: str
) -> LoadedOutput:
    rating = output.continuous_a * mounted.hot
    parts = 1 if fed is None else fed.parallel
    use = context.problem.margins.output_use * (1.0 if fed is None else fed.parallel_use)
    conditions = range(len(context.problem.conditions))
    loads = () if fed is None else fed.loads
    return LoadedOutput(
        unit=mounted.name,
        pin=pin,
        output_class=output.name,
        bank=output.bank,
        state=state,
        loads="" if fed is None else ", ".join(fed.circuit.loads),
        which="" if fed is None else which(fed.circuit, fed.circuit.pins.index(pin)),
        rating_a=rating,
        allowed_a=rating * use,
        full_a=0.0 if fed is None else fed.current_a / parts,
        trip_a=None if fed is None else fed.guard_a,
        current_a=tuple(sum(load.current_a * load.heating(m) for load in loads) / parts for m in conditions),
        circuit=None if fed is None else fed.circuit.name,
    )

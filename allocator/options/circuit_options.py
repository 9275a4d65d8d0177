"""Options: every way to feed one circuit from one slot, in grams of copper; or why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from allocator.options.candidates import Candidate
from allocator.options.conductor_option import ConductorOption, Crossing
from allocator.options.jobs import job_for
from allocator.options.load_groups import LoadGroup
from allocator.options.plan_listing import wiring_plans
from allocator.options.refusals import Refusal
from allocator.options.slots import Slot
from allocator.options.wiring_plan import WiringPlan
from allocator.options.workbench import Workbench


@dataclass(frozen=True, slots=True)
class Option:
    """One way to feed one circuit.

    ``takes`` holds (class of the slot, outputs taken from it); it is empty for a circuit on one output, which
    may then take any of the ``classes``. ``trips`` holds (class, trip setting in A of each output). ``stays``: the name
    of the circuit that stays as built by it, of a revision.
    """

    index: int
    candidate: Candidate
    slot: int
    outputs: int
    classes: frozenset[int]
    takes: tuple[tuple[int, int], ...]
    trips: tuple[tuple[int, float], ...]
    plan: WiringPlan
    stays: str = ""

    @property
    def copper_g(self) -> float:
        """Copper of all its wires."""
        return self.plan.copper_g

    @property
    def conductors(self) -> tuple[ConductorOption, ...]:
        """Its wires."""
        return self.plan.conductors

    @property
    def crossings(self) -> tuple[Crossing, ...]:
        """Contacts that it takes, one entry a contact."""
        return self.plan.crossings


def options_of(
    bench: Workbench, candidate: Candidate, load_groups: Sequence[LoadGroup], slot: Slot, by_bank: bool
) -> tuple[list[tuple[frozenset[int], tuple[tuple[int, int], ...], dict[int, float], int, WiringPlan]], list[Refusal]]:
    """Options of a candidate circuit at a slot, as parts of ``Option``, and the refusals of each class.

    Classes at which the circuit takes one output by the very same wires share one option; an option on several outputs
    names its class.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    candidate
        The circuit.
    load_groups
        Load groups by their index.
    slot
        The unit at its site.
    by_bank
        Whether only classes of one bank share an option.
    """
    loads = [(load_groups[group].sample, count) for group, count in candidate.members]
    found: dict[object, tuple[set[int], tuple[tuple[int, int], ...], dict[int, float], int, WiringPlan]] = {}
    refusals: list[Refusal] = []
    for number, group in enumerate(slot.classes):
        job = job_for(bench.problem, loads, slot, number)
        if isinstance(job, Refusal):
            refusals.append(job)
            continue
        own_plans = wiring_plans(bench, candidate, load_groups, slot, job)
        if isinstance(own_plans, Refusal):
            refusals.append(own_plans)
            continue
        alone = job.outputs > 1
        for plan in own_plans:
            key = (number if alone else (group.bank if by_bank else None), job.outputs, plan.key, plan.footprint)
            classes, takes, trips, _, held = found.get(key, (set(), job.takes if alone else (), {}, 0, plan))
            # behind the higher trip of two classes a wire may get warmer
            harder = max(held, plan, key=lambda p: [c.trip_a for c in p.conductors])
            found[key] = ({*classes, number}, takes, {**trips, number: job.trip_a}, job.outputs, harder)
    listed = [(frozenset(classes), takes, trips, n, plan) for classes, takes, trips, n, plan in found.values()]
    return _undominated(listed), refusals


def _undominated(
    listed: list[tuple[frozenset[int], tuple[tuple[int, int], ...], dict[int, float], int, WiringPlan]],
) -> list[tuple[frozenset[int], tuple[tuple[int, int], ...], dict[int, float], int, WiringPlan]]:
    """Options that no other beats: one with as many classes, outputs no more, contacts as easy, copper no more."""
    kept: list[tuple[frozenset[int], tuple[tuple[int, int], ...], dict[int, float], int, WiringPlan]] = []
    for entry in sorted(listed, key=lambda e: (e[4].price_g, len(e[4].crossings), -len(e[0]))):
        classes, takes, _, outputs, plan = entry
        if not any(
            classes <= other[0] and takes == other[1] and other[3] <= outputs and other[4].no_harder_than(plan)
            for other in kept
        ):
            kept.append(entry)
    return kept


def numbered(
    parts: Iterable[
        tuple[Candidate, int, frozenset[int], tuple[tuple[int, int], ...], dict[int, float], int, WiringPlan]
    ],
) -> tuple[Option, ...]:
    """Options with their index."""
    return tuple(
        Option(n, candidate, slot, outputs, classes, takes, tuple(sorted(trips.items())), plan)
        for n, (candidate, slot, classes, takes, trips, outputs, plan) in enumerate(parts)
    )

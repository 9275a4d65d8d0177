"""Plans: the wires of one circuit, of least copper for every set of contacts that they could take."""

from __future__ import annotations

from collections.abc import Sequence

from allocator.options.candidates import Candidate
from allocator.options.jobs import Job
from allocator.options.load_groups import LoadGroup
from allocator.options.refusals import Refusal
from allocator.options.shared_outputs import shared_plans
from allocator.options.single_loads import single_plans
from allocator.options.slots import Slot
from allocator.options.wiring_plan import WiringPlan
from allocator.options.workbench import Workbench


def wiring_plans(
    bench: Workbench, candidate: Candidate, load_groups: Sequence[LoadGroup], slot: Slot, job: Job
) -> list[WiringPlan] | Refusal:
    """Plans for a job, one for each set of contacts that differs; or why there is none.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    candidate
        The loads that share the output, counted by group.
    load_groups
        Groups of interchangeable loads, by number.
    slot
        The unit at its site.
    job
        What the outputs have to do: current, trip, how many.
    """
    key = (
        candidate.index,
        slot.site,
        slot.source.place,
        job.outputs,
        job.bridge,
        job.trip_a,
        job.wire_mm2,
        job.let_through_a2s,
    )
    if key in bench.listed:
        return bench.listed[key]
    if candidate.single:
        found = single_plans(bench, candidate.members, load_groups[candidate.members[0][0]].sample, slot, job)
    else:
        found = shared_plans(bench, candidate, load_groups, slot, job)
    if not isinstance(found, Refusal):
        bench.listed[key] = found
    return found

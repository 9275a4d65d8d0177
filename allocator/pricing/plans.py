"""Plans: the wires of one circuit, of least copper for every set of contacts that they could take."""

from __future__ import annotations

from collections.abc import Sequence

from allocator.pricing.bench import Workbench
from allocator.pricing.circuits import Alike, Candidate
from allocator.pricing.jobs import Job
from allocator.pricing.plan import Plan
from allocator.pricing.refusals import Refusal
from allocator.pricing.shared import shared_plans
from allocator.pricing.single import single_plans
from allocator.pricing.slots import Slot


def plans(bench: Workbench, candidate: Candidate, alike: Sequence[Alike], slot: Slot, job: Job) -> list[Plan] | Refusal:
    """Plans for a job, one for each set of contacts that differs; or why there is none."""
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
    if key in bench.priced:
        return bench.priced[key]
    if candidate.single:
        found = single_plans(bench, candidate.members, alike[candidate.members[0][0]].sample, slot, job)
    else:
        found = shared_plans(bench, candidate, alike, slot, job)
    if not isinstance(found, Refusal):
        bench.priced[key] = found
    return found

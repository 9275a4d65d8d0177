"""Rules on loads that share an output."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Fed
from allocator.evaluation.context import Context
from allocator.evaluation.joints import Joints, splices_needed
from allocator.evaluation.mounted_units import run_of
from allocator.evaluation.tolerance import RELATIVE


def share_word(context: Context) -> Iterator[Breach]:
    """Loads on one output have the same ``share`` word, and with it (the problem sees to that) equal levels."""
    for fed in _shared(context):
        words = {load.share for load in fed.loads}
        if len(words) > 1 or None in words:
            named = ", ".join(sorted(f"'{word}'" for word in words if word is not None)) or "none"
            alike = Counter(load.share for load in fed.loads if load.share is not None)
            strangers = len(fed.loads) - max(alike.values(), default=1)
            text = f"{fed.label} has loads that may not share an output; share words: {named}"
            yield Breach(fed.label, strangers, "loads", text)


def share_alone(context: Context) -> Iterator[Breach]:
    """A load that reverses, or whose wire was measured to this site, shares no output."""
    for fed in _shared(context):
        for load in fed.loads:
            site = fed.mounted.site.name if fed.mounted is not None else ""
            if load.bridge:
                text = f"load {load.name} reverses, but shares an output"
                yield Breach(f"load {load.name}", 1, "load", text)
            elif run_of(context.problem, load, site) is not None:
                text = f"load {load.name} has a measured run to {site}, but shares an output there"
                yield Breach(f"load {load.name}", 1, "load", text)


def joined(context: Context) -> Iterator[Breach]:
    """The pieces of wire make one tree from the output to every load, and name the loads they carry."""
    for fed in context.circuits:
        joints = fed.joints
        if joints is None:
            continue
        faults = [f"nothing feeds {name}" for name in joints.lost]
        faults += [f"{fed.conductors[n].label} is not joined" for n in joints.loose]
        faults += ["the output has more than one wire"] * (len(joints.starts) > 1)
        downstream = dict(joints.downstream)
        for n, conductor in fed.pairs("trunk"):
            if n not in joints.loose and sorted(fed.circuit.wires[n].loads) != sorted(downstream[n]):
                faults.append(f"{conductor.label} carries {', '.join(downstream[n])}, not what it names")
        if faults:
            yield Breach(fed.label, len(faults), "faults", f"{fed.label}: {'; '.join(faults)}")


def splice_count(context: Context) -> Iterator[Breach]:
    """As many splices as join the wires that meet: ``ceil((n - 2) / (splice_wires - 2))`` at each place."""
    for fed in context.circuits:
        there: Counter[str] = Counter()
        for splice in fed.circuit.splices:
            there[splice.place] += splice.count
            if splice.count < 1:
                text = f"{fed.label} lists {splice.count} splices at {splice.place}; list what is there"
                yield Breach(f"{fed.label} at {splice.place}", 1 - splice.count, "splices", text)
        meeting = _meeting(fed.joints)
        for place in sorted(there.keys() | meeting.keys()):
            needed = splices_needed(meeting.get(place, 0), context.problem.margins.splice_wires)
            if there[place] != needed:
                text = f"{fed.label} has {there[place]} splices at {place}, instead of {needed}"
                yield Breach(f"{fed.label} at {place}", abs(there[place] - needed), "splices", text)


def dry_splices(context: Context) -> Iterator[Breach]:
    """No splice sits in a wet place."""
    for fed in context.circuits:
        for splice in fed.circuit.splices:
            place = context.problem.place.get(splice.place)
            if place is not None and place.wet:
                text = f"{fed.label} has a splice at {splice.place}, which is wet"
                yield Breach(f"{fed.label} at {splice.place}", splice.count, "splices", text)


def one_size(context: Context) -> Iterator[Breach]:
    """All outgoing wires of a circuit are of one size; those of a parallel group or a bridge pair go one way."""
    for fed in context.circuits:
        outgoing = [wire for wire in fed.circuit.wires if wire.role != "return"]
        sizes = sorted({wire.size for wire in outgoing})
        if len(sizes) > 1:
            behind = "behind one output" if len(fed.circuit.pins) == 1 else "to its load"
            text = f"{fed.label} has wires of {len(sizes)} sizes {behind}: {', '.join(sizes)}"
            yield Breach(fed.label, len(sizes) - 1, "sizes", text)
        ways = {wire.route for wire in outgoing}
        if len(fed.circuit.pins) > 1 and len(ways) > 1:
            text = f"{fed.label} has wires of outputs that work together along {len(ways)} different ways"
            yield Breach(fed.label, len(ways) - 1, "ways", text)


def even_contacts(context: Context) -> Iterator[Breach]:
    """Wires of outputs in parallel pass bulkheads by contacts of one resistance, or they would not share evenly."""
    for fed in context.circuits:
        ohms = [conductor.contact_ohm for _, conductor in fed.pairs("out")] if fed.parallel > 1 else []
        apart = max(ohms, default=0.0) - min(ohms, default=0.0)
        if apart > RELATIVE:
            text = f"{fed.label} has outputs in parallel behind contacts that are {number(1000.0 * apart)} mohm apart"
            yield Breach(fed.label, 1000.0 * apart, "mohm", text)


def _shared(context: Context) -> Iterator[Fed]:
    return (fed for fed in context.circuits if fed.shared)


def _meeting(joints: Joints | None) -> dict[str, int]:
    return {} if joints is None else dict(joints.meeting)

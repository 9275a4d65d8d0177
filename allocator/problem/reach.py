"""Whether every wire has a way: segments in one piece, or coordinates, or measured runs."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.problem.draft import Draft
from allocator.problem.loads import CHASSIS, SOURCE, Load, Supply
from allocator.problem.mistakes import Mistake


def reach(draft: Draft) -> Iterator[Mistake]:
    """Places that cannot be reached. Nothing is said where a part that decides it has gaps."""
    if not {"places", "segments", "loads", "units", "sources"} <= draft.whole:
        return
    if draft.segments:
        yield from _pieces(draft)
    elif "runs" in draft.whole:
        yield from _unlocated(draft)


def _pieces(draft: Draft) -> Iterator[Mistake]:
    """Places in use that the segments do not join with the first source."""
    pieces = _joined(draft)
    main = pieces.get(draft.sources[0].place) if draft.sources else None
    largest = main or max({id(piece): piece for piece in pieces.values()}.values(), key=len)
    used = _used(draft) | set(pieces)
    known = {place.name for place in draft.places}
    cut_off = sorted((used & known) - largest)
    if cut_off:
        shown = ", ".join(f"'{name}'" for name in cut_off[:5])
        more = f" and {len(cut_off) - 5} more" if len(cut_off) > 5 else ""
        yield Mistake(
            table="segments",
            wrong=f"leaves the route network in more than one piece; cut off: {shown}{more}",
            remedy="Add the segment that joins them to the rest",
        )


def _joined(draft: Draft) -> dict[str, set[str]]:
    """The piece of the network that each place with a segment belongs to."""
    piece: dict[str, set[str]] = {}
    for segment in draft.segments:
        joined = piece.get(segment.start, {segment.start}) | piece.get(segment.end, {segment.end})
        for name in joined:
            piece[name] = joined
    return piece


def _used(draft: Draft) -> set[str]:
    """Places that some wire begins or ends at."""
    used = {load.place for load in draft.loads}
    used |= {load.return_to for load in draft.loads} - {CHASSIS, SOURCE}
    used |= {site for unit in draft.units for site in unit.sites}
    used |= {source.place for source in draft.sources}
    return used | {end for wire in draft.given_wires for end in (wire.start, wire.end)}


def _unlocated(draft: Draft) -> Iterator[Mistake]:
    """Places whose distance is needed and cannot be known."""
    without = {place.name for place in draft.places if not place.located}
    for name in sorted(_measured_places(draft) & without):
        yield Mistake(
            table="places",
            row=name,
            field="x",
            wrong="is missing, and neither segments nor measured runs say how far wires to this place are",
            remedy="Give x, y and z, or segments, or a run from every site to each load here",
        )


def _measured_places(draft: Draft) -> set[str]:
    """Places between which a distance must be found."""
    runs = {(run.load, run.site) for run in draft.runs}
    studs = {place.name for place in draft.places if place.stud_a is not None}
    needed: set[str] = set()

    def between(a: str, b: str) -> None:
        if a != b:
            needed.update((a, b))

    source_at = {source.name: source.place for source in draft.sources}
    for unit in draft.units:
        for site in unit.sites:
            between(source_at.get(unit.source, site), site)
    for load in draft.loads:
        for start in _starts(draft, load):
            if (load.name, start) not in runs and (load.item, start) not in runs:
                between(start, load.place)
        for end in _returns(load, studs, source_at):
            between(load.place, end)
    for wire in draft.given_wires:
        between(wire.start, wire.end)
    return needed


def _starts(draft: Draft, load: Load) -> set[str]:
    """Places that the load may be fed from."""
    if load.supply is Supply.DIRECT:
        return {draft.sources[0].place} if draft.sources else set()
    if load.unit is not None:
        return {site for unit in draft.units if unit.name == load.unit for site in unit.sites}
    return {site for unit in draft.units for site in unit.sites}


def _returns(load: Load, studs: set[str], source_at: dict[str, str]) -> set[str]:
    """Places that its return may go to."""
    if load.bridge:
        return set()
    if load.return_to == CHASSIS:
        return set() if load.place in studs else studs
    return set(source_at.values()) if load.return_to == SOURCE else {load.return_to}

"""Names that one part of a problem uses for objects of another."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.problem.draft import Draft
from allocator.problem.loads import CHASSIS, SOURCE
from allocator.problem.mistakes import Mistake, MistakeKind
from allocator.problem.near_misses import suggestion

KINDS = {
    "places": "place",
    "unit_types": "unit type",
    "units": "unit",
    "sources": "source",
    "bulkheads": "bulkhead",
    "loads": "load",
}


def references(draft: Draft) -> Iterator[Mistake]:
    """Every name that is used and not known."""
    for load in draft.loads:
        yield from _unknown(draft, "places", load.place, "loads", load.name, "place")
        yield from _unknown(draft, "returns", load.return_to, "loads", load.name, "return")
        if load.unit is not None:
            yield from _unknown(draft, "units", load.unit, "loads", load.name, "unit")
    for segment in draft.segments:
        yield from _unknown(draft, "places", segment.start, "segments", segment.name, "from")
        yield from _unknown(draft, "places", segment.end, "segments", segment.name, "to")
        if segment.bulkhead is not None:
            yield from _unknown(draft, "bulkheads", segment.bulkhead, "segments", segment.name, "bulkhead")
    for wire in draft.given_wires:
        yield from _unknown(draft, "places", wire.start, "wires", wire.name, "from")
        yield from _unknown(draft, "places", wire.end, "wires", wire.name, "to")
    for source in draft.sources:
        yield from _unknown(draft, "places", source.place, "sources", source.name, "place")
        yield from _conditions(draft, [condition for condition, _ in source.supply_a], source.name)
    for unit in draft.units:
        yield from _unknown(draft, "unit_types", unit.type, "units", unit.name, "type")
        yield from _unknown(draft, "sources", unit.source, "units", unit.name, "source")
        for site in unit.sites:
            yield from _unknown(draft, "places", site, "units", unit.name, "sites")
    for function in draft.functions:
        for name in function.loads:
            yield from _unknown(draft, "loads", name, "functions", function.name, "loads")
    yield from _runs(draft)


def unknown_name(draft: Draft, part: str, name: str) -> tuple[str, str] | None:
    """What is wrong, and what would do, where a name is not known in a part; None where it is, or may be.

    A load may be named by the item that it is one of. ``returns`` are places, chassis and source.
    """
    if part == "returns":
        part = "places"
        if name in (CHASSIS, SOURCE):
            return None
    known = draft.known.get(part)
    if known is None or name in known or (part == "loads" and name in draft.known.get("items", ())):
        return None
    return f"is not a known {KINDS[part]}", suggestion(name, known, KINDS[part])


def _unknown(draft: Draft, part: str, name: str, table: str, row: str, field: str) -> Iterator[Mistake]:
    told = unknown_name(draft, part, name)
    if told is not None:
        wrong, remedy = told
        kind = MistakeKind.UNKNOWN_NAME
        yield Mistake(table=table, row=row, field=field, value=name, wrong=wrong, remedy=remedy, kind=kind)


def _conditions(draft: Draft, named: list[str], source: str) -> Iterator[Mistake]:
    for name in named:
        if draft.conditions is not None and name not in draft.conditions:
            remedy = suggestion(name, draft.conditions, "condition")
            yield Mistake(
                table="sources",
                row=source,
                field="supply",
                value=name,
                wrong="is not a known condition",
                remedy=remedy,
                kind=MistakeKind.UNKNOWN_NAME,
            )


def _runs(draft: Draft) -> Iterator[Mistake]:
    """A run is measured from a site of a unit, or from a source, to a load or to all loads of an item."""
    sites = {site for unit in draft.units for site in unit.sites}
    ends = frozenset(sites | {source.place for source in draft.sources})
    places = draft.known.get("places")
    for run in draft.runs:
        yield from _unknown(draft, "loads", run.load, "runs", run.name, "load")
        if places is not None and run.site not in places:
            yield from _unknown(draft, "places", run.site, "runs", run.name, "site")
        elif run.site not in ends and {"units", "sources"} <= draft.whole:
            wrong = "is neither a site of a unit nor the place of a source"
            remedy = suggestion(run.site, ends, "site")
            yield Mistake(table="runs", row=run.name, field="site", value=run.site, wrong=wrong, remedy=remedy)

"""Changes of segments: better insulation, a second way beside them, other figures stated for the table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from allocator.changes.change import ProblemChange
from allocator.problem import Place, Problem, Segment
from allocator.problem.as_written import figure


def insulated(problem: Problem, number: int, class_c: float) -> ProblemChange:
    """Wire of a higher insulation class in a segment."""
    own = problem.segments[number]
    before = "" if own.insulation_c is None else f"{figure(own.insulation_c)} degC"
    words = f"lay wire of {figure(class_c)} degC in segment '{own.name}'"
    return _of_segment(number, own, "insulation", before, f"{figure(class_c)} degC", words, insulation_c=class_c)


def stated_wires(problem: Problem, number: int, count: int) -> ProblemChange:
    """More wires stated for the bundle of a segment."""
    before = problem.stated_of(problem.segments[number])[0]
    words = f"state {count} wires for the bundle of segment '{problem.segments[number].name}', not {before}"
    return _of_segment(number, problem.segments[number], "bundle wires", str(before), str(count), words, wires=count)


def stated_loading(problem: Problem, number: int, share: float) -> ProblemChange:
    """More loading stated for the bundle of a segment."""
    before, after = (f"{figure(100.0 * own)} %" for own in (problem.stated_of(problem.segments[number])[1], share))
    words = f"state a loading of {after} for the bundle of segment '{problem.segments[number].name}', not {before}"
    return _of_segment(number, problem.segments[number], "bundle loading", before, after, words, loading=share)


def second_way(problem: Problem, number: int) -> ProblemChange:
    """A second way between the ends of a segment, as long as it and through the same bulkhead."""
    own = problem.segments[number]
    middle = _free_name(problem, f"beside {own.name}")
    half = {"length_m": own.length_m / 2.0, "extra": ()}
    halves = (replace(own, end=middle, **half), replace(own, start=middle, bulkhead=None, **half))  # type: ignore[arg-type]

    def make(changed: Problem) -> Problem:
        places = (*changed.places, Place(name=middle, units=0))
        return replace(changed, places=places, segments=(*changed.segments, *halves))

    length = f"{figure(own.length_m)} m"
    return ProblemChange(
        table="segments",
        row=f"{own.start} - {middle} - {own.end}",
        field="length",
        before="",
        after=length,
        said=f"lay a second way from '{own.start}' to '{own.end}', {length} long as the first",
        make=make,
    )


def _free_name(problem: Problem, name: str) -> str:
    while name in problem.place:
        name += " too"
    return name


def _of_segment(
    number: int, own: Segment, field: str, before: str, after: str, words: str, **values: object
) -> ProblemChange:
    make: Callable[[Segment], Segment] = lambda segment: replace(segment, **values)  # type: ignore[arg-type] # noqa: E731

    def changed(problem: Problem) -> Problem:
        segments = (make(segment) if n == number else segment for n, segment in enumerate(problem.segments))
        return replace(problem, segments=tuple(segments))

    return ProblemChange(
        table="segments", row=own.name, field=field, before=before, after=after, said=words, make=changed
    )

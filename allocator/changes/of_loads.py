"""Changes of loads, functions, bulkheads, studs and the feed table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from allocator.changes.change import ProblemChange, with_bulkhead, with_loads, with_place
from allocator.problem import SOURCE, ContactSet, Function, Load, Problem, Supply, Wire
from allocator.problem.as_written import amperes, figure, named


def of_loads(names: Iterable[str], field: str, before: str, after: str, words: str, **values: object) -> ProblemChange:
    """Other values of some loads.

    Parameters
    ----------
    names
        Names of the loads.
    field
        The column that changes.
    before
        The old value, as it is shown.
    after
        The new value, as it is shown.
    words
        The change in words.
    **values
        The new values by field, in base units.
    """
    own = tuple(names)
    return ProblemChange(
        table="loads",
        row=", ".join(own),
        field=field,
        before=before,
        after=after,
        said=words,
        make=lambda p: with_loads(p, own, lambda load: replace(load, **values)),  # type: ignore[arg-type]
    )


def unpinned(problem: Problem, name: str) -> ProblemChange:
    """A load taken off the output, or where it names none off the unit, that it is pinned to."""
    load = problem.load[name]
    if load.output is not None:
        words = f"let '{name}' take any output of unit '{load.unit}', not '{load.output}' alone"
        return of_loads((name,), "output", load.output, "", words, output=None)
    words = f"let any unit feed '{name}', not '{load.unit}' alone"
    return of_loads((name,), "unit", load.unit or "", "", words, unit=None)


def free_of_unit(problem: Problem, name: str) -> ProblemChange:
    """A load taken off its unit, and so off its output."""
    load = problem.load[name]
    words = f"let any unit feed '{name}', not '{load.unit}' alone"
    return of_loads((name,), "unit", load.unit or "", "", words, unit=None, output=None)


def may_be_direct(load: Load) -> bool:
    """Whether nothing that is asked of a load ties it to a unit."""
    return load.supply is Supply.UNIT and not (load.needs or load.share or load.together or load.unit)


def direct(load: Load) -> ProblemChange:
    """A load fed from the source itself."""
    words = f"feed '{load.name}' from the {SOURCE}, behind a fuse and a switch of its own, not from a unit"
    return of_loads((load.name,), "supply", Supply.UNIT.value, Supply.DIRECT.value, words, supply=Supply.DIRECT)


def apart(problem: Problem, names: tuple[str, ...]) -> ProblemChange:
    """Loads that need no longer be on one unit with the others of their word."""
    word = problem.load[names[0]].together or ""
    words = f"let {named(names)} be fed apart from the rest of '{word}'"
    return of_loads(names, "together", word, "", words, together=None)


def without_need(problem: Problem, names: tuple[str, ...], need: str) -> ProblemChange:
    """Loads that do without a capability."""
    needs = problem.load[names[0]].needs
    left = tuple(x for x in needs if x != need)
    words = f"let {named(names)} do without '{need}'"
    return of_loads(names, "needs", ";".join(needs), ";".join(left), words, needs=left)


def survive(function: Function, left: int) -> ProblemChange:
    """Fewer loads of a function that must outlive a failure."""
    return _of_function(
        function,
        "survive",
        str(function.survive),
        str(left),
        f"let {left} of '{function.name}' be enough after a failure, not {function.survive}",
        replace(function, survive=left),
    )


def not_against(function: Function, kinds: tuple[str, ...]) -> ProblemChange:
    """A function held against fewer kinds of failure; against none it is left out."""
    left = tuple(kind for kind in function.against if kind not in kinds)
    words = f"no longer require function '{function.name}' to survive the failure of a {' or '.join(kinds)}"
    changed = replace(function, against=left) if left else None
    return _of_function(function, "against", ";".join(function.against), ";".join(left), words, changed)


def _of_function(
    function: Function, field: str, before: str, after: str, words: str, changed: Function | None
) -> ProblemChange:
    def make(problem: Problem) -> Problem:
        functions = [changed if f.name == function.name else f for f in problem.functions]
        return replace(problem, functions=tuple(f for f in functions if f is not None))

    return ProblemChange(
        table="functions", row=function.name, field=field, before=before, after=after, said=words, make=make
    )


def contacts(problem: Problem, bulkhead: str, number: int, count: int) -> ProblemChange:
    """More contacts of one set of a bulkhead.

    Parameters
    ----------
    problem
        The problem.
    bulkhead
        Name of the bulkhead.
    number
        Number of the contact set, from 0.
    count
        How many contacts the set has then.
    """
    own = problem.bulkhead[bulkhead].contacts[number]
    low, high = own.wire_mm2
    words = f"give bulkhead '{bulkhead}' {count} contacts for {figure(low)} to {figure(high)} mm2, not {own.count}"

    def make(problem: Problem) -> Problem:
        sets = tuple(
            replace(c, count=count) if n == number else c for n, c in enumerate(problem.bulkhead[bulkhead].contacts)
        )
        return _with_contacts(problem, bulkhead, sets)

    row = f"{bulkhead}, {figure(low)} to {figure(high)} mm2"
    return ProblemChange(
        table="bulkheads", row=row, field="count", before=str(own.count), after=str(count), said=words, make=make
    )


def added_contacts(bulkhead: str, added: ContactSet) -> ProblemChange:
    """A further set of contacts in a bulkhead."""
    low, high = added.wire_mm2
    size = f"{figure(low)} to {figure(high)} mm2"
    return ProblemChange(
        table="bulkheads",
        row=bulkhead,
        field="contacts",
        before="",
        after=f"{added.count} for {size}",
        said=f"give bulkhead '{bulkhead}' {added.count} more contacts, for {size}",
        make=lambda p: _with_contacts(p, bulkhead, (*p.bulkhead[bulkhead].contacts, added)),
    )


def _with_contacts(problem: Problem, bulkhead: str, sets: tuple[ContactSet, ...]) -> Problem:
    return with_bulkhead(problem, bulkhead, lambda own: replace(own, contacts=sets))


def studs(problem: Problem, bulkhead: str, count: int) -> ProblemChange:
    """More feeds that may cross a bulkhead."""
    before = problem.bulkhead[bulkhead].studs
    return ProblemChange(
        table="bulkheads",
        row=bulkhead,
        field="studs",
        before=str(before),
        after=str(count),
        said=f"let {count} feed{'' if count == 1 else 's'} cross bulkhead '{bulkhead}', not {before}",
        make=lambda p: with_bulkhead(p, bulkhead, lambda own: replace(own, studs=count)),
    )


def ground_stud(problem: Problem, place: str, amount_a: float) -> ProblemChange:
    """A ground stud of another rating."""
    before = problem.place[place].stud_a or 0.0
    now = f"not for {amperes(before)}" if before else "where there is none"
    return ProblemChange(
        table="places",
        row=place,
        field="stud",
        before=amperes(before),
        after=amperes(amount_a),
        said=f"fit a ground stud for {amperes(amount_a)} at '{place}', {now}",
        make=lambda p: with_place(p, place, lambda own: replace(own, stud_a=amount_a)),
    )


def feed_cable(wire: Wire) -> ProblemChange:
    """A heavier cable in the feed table."""
    return ProblemChange(
        table="feed table",
        row=wire.size,
        field="size",
        before="",
        after=wire.size,
        said=f"add {wire.size} cable to the feed table",
        make=lambda p: replace(p, feed_wires=replace(p.feed_wires, wires=(*p.feed_wires.wires, wire))),
    )


def all_sizes(problem: Problem) -> ProblemChange:
    """The whole wire table on the shelf."""
    before = ", ".join(problem.wire_rules.sizes)
    return ProblemChange(
        table="wire",
        row="wire",
        field="sizes",
        before=before,
        after="",
        said=f"use every size of the wire table, not {before} alone",
        make=lambda p: replace(p, wire_rules=replace(p.wire_rules, sizes=())),
    )

"""Changes of units, their types and where they may sit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from allocator.changes.change import ProblemChange, with_place, with_type, with_units
from allocator.problem import Fit, OutputClass, Problem, Unit, UnitType
from allocator.problem.as_written import amperes, figure, named


def like(unit_type: UnitType) -> str:
    """How a sentence begins on what another type in the place of one would have to do."""
    return f"use a unit type like '{unit_type.name}'"


def unit_rating(unit_type: UnitType, continuous_a: float) -> ProblemChange:
    """Another rating of a unit type."""
    return ProblemChange(
        table="unit_types",
        row=unit_type.name,
        field="continuous",
        before=amperes(unit_type.continuous_a),
        after=amperes(continuous_a),
        subject=like(unit_type),
        said=f"that carries {amperes(continuous_a)} in all, not {amperes(unit_type.continuous_a)}",
        make=lambda p: with_type(p, unit_type.name, lambda t: replace(t, continuous_a=continuous_a)),
    )


def bank_rating(unit_type: UnitType, bank: str, continuous_a: float) -> ProblemChange:
    """Another rating of a bank of a unit type."""
    before = next(own.continuous_a for own in unit_type.banks if own.name == bank)

    def make(problem: Problem) -> Problem:
        return with_type(
            problem,
            unit_type.name,
            lambda t: replace(
                t, banks=tuple(replace(b, continuous_a=continuous_a) if b.name == bank else b for b in t.banks)
            ),
        )

    return ProblemChange(
        table="banks",
        row=f"{unit_type.name}, {bank}",
        field="continuous",
        before=amperes(before),
        after=amperes(continuous_a),
        subject=like(unit_type),
        said=f"whose bank '{bank}' carries {amperes(continuous_a)}, not {amperes(before)}",
        make=make,
    )


def output_class(
    unit_type: UnitType, own: OutputClass, field: str, before: str, after: str, words: str, **values: object
) -> ProblemChange:
    """Other values of one output class of a type.

    Parameters
    ----------
    unit_type
        The type.
    own
        The class of its outputs: the one of that name in that bank is changed.
    field
        Column of the output table that the change is told of.
    before, after
        What stands in that column and what would stand there, as written in a table.
    words
        What its outputs would do, to end the sentence.
    values
        The new values, by field of `OutputClass`.
    """

    def changed(output: OutputClass) -> OutputClass:
        same = (output.name, output.bank) == (own.name, own.bank)
        return replace(output, **values) if same else output  # type: ignore[arg-type]

    def make(problem: Problem) -> Problem:
        return with_type(
            problem, unit_type.name, lambda t: replace(t, outputs=tuple(changed(output) for output in t.outputs))
        )

    return ProblemChange(
        table="outputs",
        row=f"{unit_type.name}, {own.name}",
        field=field,
        before=before,
        after=after,
        subject=like(unit_type),
        said=words,
        make=make,
    )


def more_outputs(unit_type: UnitType, own: OutputClass, more: int) -> ProblemChange:
    """More outputs of a class on every unit of a type."""
    taken = {pin for output in unit_type.outputs for pin in output.pins}
    pins = list(own.pins)
    while len(pins) < len(own.pins) + more:
        name = f"{own.name} +{len(pins) - len(own.pins) + 1}"
        pins.append(name if name not in taken else f"{name} of {own.bank}")
    bank = f" in bank '{own.bank}'" if own.bank is not None else ""
    words = f"that has {len(pins)} outputs of class '{own.name}'{bank}, not {len(own.pins)}"
    return output_class(unit_type, own, "pins", str(len(own.pins)), str(len(pins)), words, pins=tuple(pins))


def sealed(unit_type: UnitType) -> ProblemChange:
    """A sealed type instead."""
    return ProblemChange(
        table="unit_types",
        row=unit_type.name,
        field="sealed",
        before="false",
        after="true",
        said=f"use a sealed unit type like '{unit_type.name}', which may sit where it is wet",
        make=lambda p: with_type(p, unit_type.name, lambda t: replace(t, sealed=True)),
    )


def spare_outputs(units: tuple[Unit, ...], name: str, left: int) -> ProblemChange:
    """Fewer outputs kept free on alike units."""
    names = tuple(unit.name for unit in units)
    before = dict(units[0].spare)[name]
    kept = f"{left} output{'' if left == 1 else 's'}"
    words = f"keep {kept} of class '{name}' spare on {named(names)}, not {before}"
    if not left:
        them = "the output" if before == 1 else f"the {before} outputs"
        words = f"give up {them} of class '{name}' kept spare on {named(names)}"

    def changed(unit: Unit) -> Unit:
        return replace(unit, spare=tuple((q, left if q == name else n) for q, n in unit.spare if q != name or left))

    return _of_units(units, f"spare {name}", str(before), str(left), words, changed)


def spare_current(units: tuple[Unit, ...], left_a: float) -> ProblemChange:
    """Less current kept in reserve on alike units."""
    before = units[0].spare_current_a
    words = f"keep {amperes(left_a)} in reserve on {named(u.name for u in units)}, not {amperes(before)}"
    return _of_units(
        units, "spare_current", amperes(before), amperes(left_a), words, lambda u: replace(u, spare_current_a=left_a)
    )


def if_needed(unit: Unit) -> ProblemChange:
    """A unit that need not be fitted."""
    words = f"let unit '{unit.name}' be fitted only if needed"
    return _of_units((unit,), "fit", "always", "if needed", words, lambda u: replace(u, fit=Fit.IF_NEEDED))


def more_sites(units: tuple[Unit, ...], site: str) -> ProblemChange:
    """A further place where alike units may be mounted."""
    before = units[0].sites
    words = f"let {named(u.name for u in units)} be mounted at '{site}' too"
    after = ", ".join((*before, site))
    return _of_units(units, "sites", ", ".join(before), after, words, lambda u: replace(u, sites=(*u.sites, site)))


def _of_units(
    units: tuple[Unit, ...], field: str, before: str, after: str, words: str, changed: Callable[[Unit], Unit]
) -> ProblemChange:
    names = tuple(unit.name for unit in units)
    return ProblemChange(
        table="units",
        row=", ".join(names),
        field=field,
        before=before,
        after=after,
        said=words,
        make=lambda p: with_units(p, names, changed),
    )


def more_units(problem: Problem, like: Unit, count: int) -> tuple[ProblemChange, ...]:
    """More units of a type, at the sites of one there is, fitted if needed."""
    taken = {unit.name for unit in problem.units}
    found = []
    for _ in range(count):
        found.append(_one_more_unit(like, another(like, taken)))
        taken.add(found[-1].row)
    return tuple(found)


def _one_more_unit(like: Unit, added: Unit) -> ProblemChange:
    return ProblemChange(
        table="units",
        row=added.name,
        field="name",
        before="",
        after=added.name,
        said=f"add a unit '{added.name}' of type '{like.type}' beside '{like.name}'",
        make=lambda p: replace(p, units=(*p.units, added)),
    )


def another(like: Unit, taken: set[str]) -> Unit:
    """A unit like one there is, under a name of its own."""
    number = next(n for n in range(2, len(taken) + 3) if f"{like.name} {n}" not in taken)
    return replace(like, name=f"{like.name} {number}", fit=Fit.IF_NEEDED, spare=(), spare_current_a=0.0)


def room_at_site(problem: Problem, site: str, units: int) -> ProblemChange:
    """Room for more units at a place."""
    before = problem.place[site].units
    return ProblemChange(
        table="places",
        row=site,
        field="units",
        before=str(before),
        after=str(units),
        said=f"make room for {figure(units)} units at '{site}', not {before}",
        make=lambda p: with_place(p, site, lambda place: replace(place, units=units)),
    )

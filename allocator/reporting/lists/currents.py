"""Currents in every condition: units, banks and studs against their limits, sources against what charges them."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.analysis.energy import energy
from allocator.analysis.unit_loading import loadings
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.table import Row, Table, figure, fill_in, text

UNIT, BANK, STUD, SOURCE, CHARGE = "unit", "bank", "stud", "source, mean", "charge"

NOTE = (
    "Units and banks: with the largest spreads that may come at once, against their rating at the ambient of the "
    "site less what is kept in reserve. Source, mean: stated currents x level x duty, for energy only."
)


def currents(build: Build) -> Table:
    """One column per condition."""
    conditions = build.problem.conditions
    columns = (
        text("kind"),
        text("name"),
        text("bank"),
        *(figure(f"in {condition}", "A") for condition in conditions),
        figure("limit", "A"),
        figure("worst", "%", 0),
        *(fill_in(f"measured in {condition}", "A") for condition in conditions),
    )
    left = [None] * len(conditions)
    rows = ((*row, *left) for row in (*_loadings(build), *_studs(build), *_sources(build)))
    return listing("condition-currents", "Currents by condition", columns, rows, NOTE)


def _loadings(build: Build) -> Iterator[Row]:
    for one in loadings(build.problem, build.layout):
        kind = UNIT if one.bank is None else BANK
        yield (kind, one.unit, one.bank or "", *one.current_a, one.limit_a, 100.0 * one.use)


def _studs(build: Build) -> Iterator[Row]:
    into = {(one.ground, one.condition): one.current_a for one in build.volts.grounds}
    for place in build.problem.places:
        if place.stud_a is not None:
            each = [into.get((f"stud {place.name}", condition), 0.0) for condition in build.problem.conditions]
            yield (STUD, place.name, "", *each, place.stud_a, 100.0 * max(each) / place.stud_a)


def _sources(build: Build) -> Iterator[Row]:
    balances = energy(build.problem, build.layout).balances
    for source in build.problem.sources:
        own = [one for one in balances if one.source == source.name]
        yield (SOURCE, source.name, "", *(one.draw_a for one in own), None, None)
        if source.supply_a:
            yield (CHARGE, source.name, "", *(one.supply_a for one in own), None, None)

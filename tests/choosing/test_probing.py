"""Probing: what is said of every solution within a cutoff, against all solutions there are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product
from math import ceil, floor, inf
from random import Random

import pytest

from allocator.choosing.model import Model
from allocator.choosing.probing import SLACK, Sums, probe
from allocator.choosing.rows import Sense, Variable, at_least, at_most
from allocator.choosing.solver import run
from tests.choosing.toys import Toy

SEEDS = range(120)


@dataclass(frozen=True)
class Drawn:
    """A small model of whole columns, with all its solutions and what each weighs."""

    model: Model
    sums: Sums
    solutions: tuple[tuple[float, tuple[int, ...]], ...]

    def within(self, cutoff_g: float) -> list[tuple[int, ...]]:
        return [values for grams, values in self.solutions if grams <= cutoff_g]


def drawn(seed: int) -> Drawn:
    """Loads to be fed once each by one of several columns, a roof over some of them, and prices; whole figures only."""
    rng = Random(seed)
    toy = Toy()
    columns = [toy.variables.add(f"x{n}", float(rng.choice((1, 1, 2)))) for n in range(rng.randint(4, 7))]
    for _ in range(rng.randint(1, 3)):
        some = rng.sample(columns, rng.randint(2, len(columns)))
        toy.hold(at_least("floor", [(x, float(rng.randint(1, 3))) for x in some], float(rng.randint(1, 4))))
    some = rng.sample(columns, 3)
    toy.hold(at_most("roof", [(x, float(rng.randint(1, 3))) for x in some], float(rng.randint(1, 5))))
    model = toy.model(*((x, float(rng.randint(1, 30))) for x in columns))
    model = replace(model, constant_g=float(rng.choice((0, 7))))
    sums = {
        number: [(x, float(rng.randint(1, 2))) for x in rng.sample(columns, rng.randint(1, len(columns)))]
        for number in range(3)
    }
    return Drawn(model, sums, tuple(solutions(model)))


def solutions(model: Model) -> Iterator[tuple[float, tuple[int, ...]]]:
    for values in product(*(range(int(x.upper or 0) + 1) for x in model.columns)):
        if all(kept(model, n, values) for n in range(len(model.rows))):
            yield model.constant_g + sum(g * values[x.index] for x, g in model.objective), values


def kept(model: Model, number: int, values: tuple[int, ...]) -> bool:
    row = model.rows[number][1]
    left = sum(c * values[x.index] for x, c in row.terms)
    return left <= row.right if row.sense is Sense.AT_MOST else left >= row.right


def cutoffs(case: Drawn) -> list[float]:
    weighed = sorted({grams for grams, _ in case.solutions})
    some = [weighed[k] for k in (0, len(weighed) // 8, len(weighed) // 2) if k < len(weighed)]
    return [inf, *some, *([weighed[0] - 1.0, weighed[0] - 10.0] if weighed else [5.0])]


def loosest(model: Model, terms: tuple[tuple[Variable, float], ...]) -> float | None:
    """The least value of a sum over the linear relaxation of a model; None where it has no solution."""
    loose = [replace(x, integer=False) for x in model.columns]
    relaxed = replace(model, variables=replace(model.variables, columns=loose), objective=terms, constant_g=0.0)
    outcome = run(relaxed)
    if outcome.values is None:
        return None
    return sum(c * outcome.values[x.index] for x, c in terms)


def test_nothing_is_within_the_cutoff_where_probing_says_so() -> None:
    said = 0
    for seed in SEEDS:
        case = drawn(seed)
        for cutoff_g in cutoffs(case):
            if probe(case.model, cutoff_g) is None:
                assert case.within(cutoff_g) == [], seed
                said += 1
    assert said >= 40


def test_probing_says_that_nothing_is_within_the_cutoff_just_where_the_relaxation_lies_above_it() -> None:
    for seed in SEEDS:
        case = drawn(seed)
        least = loosest(case.model, case.model.objective)
        if least is None:
            assert probe(case.model, inf) is None, seed
            continue
        least_g = least + case.model.constant_g
        assert probe(case.model, least_g - 0.01) is None, seed
        probed = probe(case.model, least_g + 0.01)
        assert probed is not None, seed
        assert probed.bound_g == pytest.approx(least_g), seed


def test_columns_that_are_useless_are_0_in_every_solution_within_the_cutoff() -> None:
    useless = useful = 0
    for seed in SEEDS:
        case = drawn(seed)
        for cutoff_g in cutoffs(case):
            probed = probe(case.model, cutoff_g)
            if probed is None:
                continue
            for values in case.within(cutoff_g):
                assert all(values[column] == 0 for column in probed.useless), (seed, cutoff_g)
            useless += len(probed.useless)
            useful += len(case.model.columns) - len(probed.useless)
    assert useless >= 100
    assert useful >= 100


def test_ranges_hold_for_every_solution_within_the_cutoff() -> None:
    met = 0
    for seed in SEEDS:
        case = drawn(seed)
        for cutoff_g in cutoffs(case):
            probed = probe(case.model, cutoff_g, case.sums)
            for values in case.within(cutoff_g):
                assert probed is not None, (seed, cutoff_g)
                for number, terms in case.sums.items():
                    low, high = probed.ranges[number]
                    assert low <= sum(c * values[x.index] for x, c in terms) <= high, (seed, cutoff_g, number)
                    met += 1
    assert met >= 10_000


def test_ranges_are_no_wider_than_those_of_the_relaxation() -> None:
    for seed in SEEDS[:40]:
        case = drawn(seed)
        for cutoff_g in cutoffs(case)[1:3]:
            probed = probe(case.model, cutoff_g, case.sums)
            if probed is None:
                continue
            light = at_most("light", case.model.objective, cutoff_g - case.model.constant_g)
            held = replace(case.model, rows=(*case.model.rows, ("light", light)))
            for number, terms in case.sums.items():
                low = loosest(held, tuple(terms))
                high = loosest(held, tuple((x, -c) for x, c in terms))
                assert low is not None, (seed, cutoff_g)
                assert high is not None, (seed, cutoff_g)
                assert probed.ranges[number][0] >= ceil(low - 2 * SLACK), (seed, cutoff_g, number)
                assert probed.ranges[number][1] <= floor(-high + 2 * SLACK), (seed, cutoff_g, number)


def test_a_part_of_a_column_that_need_not_be_whole_may_be_within_the_cutoff() -> None:
    """A whole unit of the part would cost 10 g: too much by 9, and yet a tenth of it makes room for another wire."""
    toy = Toy()
    wire, part = toy.variables.add("wire", 5.0), toy.variables.add("part", None, integer=False)
    toy.hold(at_most("room", [(wire, 1.0), (part, -10.0)], 1.0))
    model = toy.model((wire, 0.0), (part, 10.0))
    probed = probe(model, 1.0, {0: [(wire, 1.0)]})
    assert probed is not None
    assert probed.ranges[0] == (0, 2)
    assert part.index not in probed.useless


def test_a_row_without_columns_that_cannot_hold_leaves_nothing() -> None:
    toy = Toy()
    x = toy.variables.add("x")
    toy.hold(at_least("impossible", [], 1.0))
    assert probe(toy.model((x, 1.0)), inf) is None

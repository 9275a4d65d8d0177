"""Every word of the problem format that changes the answer does so.

A pair is a folder of tests/cases/words, called ``table.word``: two problems that differ in that word alone,
``one.diff`` and ``other.diff``, and ``expected.toml`` with a sentence on why their answers differ, and in what.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from allocator.checking import check
from allocator.layout import INFEASIBLE, OPTIMAL, Layout
from allocator.problem import Problem
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.case_folders import CASES, cases_of, problem_folder
from tests.engine.agreement import agrees
from tests.engine.facts import answer, beyond_the_oracle, expected, facts, unlike, why
from tests.engine.vocabulary import WORDS, differing
from tests.oracle import least_by_cp_sat

PAIRS = CASES / "words"
WITH_A_PAIR = frozenset(cases_of("words"))

HOLDS_WORDS = "holds words that have their own pairs"
NAME = "a name: with another one throughout the answer is the same under that name, which a test below holds"
SAME_ANSWER = "changes no answer of solve, which a test below holds"
REASONS = {
    "problem.format": "is 1, and anything else is refused",
    "problem.name": NAME,
    "problem.system": HOLDS_WORDS,
    "problem.margins": HOLDS_WORDS,
    "problem.objective": HOLDS_WORDS,
    "problem.wire": HOLDS_WORDS,
    "problem.unit_types": "a type that no unit is of says nothing: units.type has a pair",
    "problem.bulkheads": "a bulkhead that no segment crosses says nothing: segments.bulkhead has a pair",
    "system.conditions": "names the columns of levels: loads.level has a pair",
    "sources.name": NAME,
    "sources.supply": SAME_ANSWER,
    "sources.capacity": SAME_ANSWER,
    "objective.move": "for revisions: solve moves no finished wire, which a test below holds",
    "unit_types.name": NAME,
    "unit_types.banks": "comes and goes with outputs.bank, which has a pair, as has banks.continuous",
    "banks.name": NAME,
    "outputs.class": NAME,
    "units.name": NAME,
    "bulkheads.name": NAME,
    "bulkheads.kind": SAME_ANSWER,
    "functions.name": NAME,
    "loads.load": NAME,
    "loads.type": SAME_ANSWER,
    "loads.duty": SAME_ANSWER,
    "places.place": NAME,
    "wires.wire": NAME,
    "wire_table.size": NAME,
    "wire_table.source": SAME_ANSWER,
}
"""Words without a pair, and why."""


OBEYED = sorted(WITH_A_PAIR)
BOTH = [f"{word}/{side}" for word in OBEYED for side in ("one", "other")]


@cache
def problem(name: str) -> Problem:
    return read_problem(problem_folder(f"words/{name}"))


@cache
def solved(name: str) -> Layout:
    return solve(problem(name))


def test_every_word_has_a_pair_or_a_reason() -> None:
    assert WITH_A_PAIR | set(REASONS) == WORDS
    assert WITH_A_PAIR & set(REASONS) == set()


@pytest.mark.parametrize("word", sorted(WITH_A_PAIR))
def test_the_problems_of_a_pair_differ_in_their_word_alone(word: str) -> None:
    assert differing(*(problem_folder(f"words/{word}/{side}") for side in ("one", "other"))) == {word}


@pytest.mark.parametrize("word", OBEYED)
def test_the_answers_of_a_pair_differ_as_expected(word: str) -> None:
    stated = expected(PAIRS / word)
    assert list(stated) == ["one", "other"]
    assert stated["one"] != stated["other"]
    for side, told in stated.items():
        assert "status" in told
        assert list(unlike(told, facts(solved(f"{word}/{side}")))) == [], why(PAIRS / word)
    assert answer(solved(f"{word}/one")) != answer(solved(f"{word}/other"))


@pytest.mark.parametrize("name", BOTH)
def test_each_answer_passes_the_check(name: str) -> None:
    layout = solved(name)
    assert layout.status in (OPTIMAL, INFEASIBLE)
    assert layout.status == INFEASIBLE or check(problem(name), layout).violations == ()


@pytest.mark.parametrize("name", [name for name in BOTH if not beyond_the_oracle((PAIRS / name).parent)])
def test_each_answer_is_the_least_by_the_oracle(name: str) -> None:
    assert agrees(solved(name), least_by_cp_sat(problem(name)))


def _of_loads(**changed: object) -> Callable[[Problem], Problem]:
    return lambda p: replace(p, loads=tuple(replace(load, **changed) for load in p.loads))  # type: ignore[arg-type]


def _of_sources(**changed: object) -> Callable[[Problem], Problem]:
    return lambda p: replace(p, sources=tuple(replace(s, **changed) for s in p.sources))  # type: ignore[arg-type]


def _sourced_wires(p: Problem) -> Problem:
    wires = tuple(replace(wire, source="a catalogue") for wire in p.wires.wires)
    return replace(p, wires=replace(p.wires, wires=wires))


WITHOUT_EFFECT: dict[str, tuple[str, Callable[[Problem], Problem]]] = {
    "sources.supply": ("loads.place/one", _of_sources(supply_a=(("all on", 40.0),))),
    "sources.capacity": ("loads.place/one", _of_sources(capacity_ah=80.0)),
    "objective.move": ("loads.place/one", lambda p: replace(p, prices=replace(p.prices, move_g=500.0))),
    "bulkheads.kind": (
        "contacts.count/other",
        lambda p: replace(p, bulkheads=tuple(replace(b, kind="gland") for b in p.bulkheads)),
    ),
    "loads.type": ("loads.place/one", _of_loads(type="halogen")),
    "loads.duty": ("loads.place/one", _of_loads(duty=0.1)),
    "wire_table.source": ("wire_table.area/one", _sourced_wires),
}
"""A pair's problem, and a change of it that is to change nothing in the answer."""


@pytest.mark.parametrize("word", sorted(WITHOUT_EFFECT))
def test_a_word_said_to_change_no_answer_changes_none(word: str) -> None:
    name, changed = WITHOUT_EFFECT[word]
    assert changed(problem(name)) != problem(name)
    assert answer(solve(changed(problem(name)))) == answer(solved(name))


RENAMED = {
    "problem.name": ("loads.place/one", "Tool trailer", "Barrow"),
    "sources.name": ("units.source/other", "second battery", "seldom used battery"),
    "unit_types.name": ("units.type/other", "stout type", "sturdy type"),
    "banks.name": ("outputs.bank/one", "right", "rightmost"),
    "outputs.class": ("outputs.pins/other", "stout", "sturdy"),
    "units.name": ("units.fit/other", "annex", "addition"),
    "bulkheads.name": ("bulkheads.studs/one", "wall", "wattle"),
    "functions.name": ("functions.survive/one", "light", "lights"),
    "loads.load": ("runs.load/one", "lamp", "lantern"),
    "places.place": ("segments.from/one", "roof", "rooftop"),
    "wires.wire": ("wires.from/one", "wake wire", "waking wire"),
    "wire_table.size": ("wire_table.area/one", "small", "slight"),
}
"""A pair's problem, and a name in it with another that sorts alike: alike loads and units are taken by name."""


@pytest.mark.parametrize("word", sorted(RENAMED))
def test_under_another_name_the_answer_is_the_same(word: str, tmp_path: Path) -> None:
    name, old, new = RENAMED[word]
    for file in problem_folder(f"words/{name}").iterdir():
        text = file.read_text(encoding="utf-8")
        (tmp_path / file.name).write_text(text.replace(old, new), encoding="utf-8")
    renamed = read_problem(tmp_path)
    assert renamed != problem(name)
    assert answer(solve(renamed)).to_json() == answer(solved(name)).to_json().replace(old, new)


def test_each_word_said_to_change_no_answer_is_tried() -> None:
    tried = {*WITHOUT_EFFECT, *RENAMED}
    assert {word for word, reason in REASONS.items() if "a test below holds" in reason} == tried

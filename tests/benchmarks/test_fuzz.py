"""Mutations of each kind end in a sentence and an exit code; `python -m benchmarks.fuzz` makes ten thousand."""

from __future__ import annotations

import sys
from random import Random

import pytest

if sys.platform == "win32":
    pytest.skip("no processes that fork on this system", allow_module_level=True)

from benchmarks.fuzz import KINDS, Seeds, Tally, fuzz, run, warmed
from benchmarks.mutations import OF_FOLDER, OF_LAYOUT, OF_WORKBOOK, Mutation


@pytest.fixture(scope="module")
def seeds(tmp_path_factory: pytest.TempPathFactory) -> Seeds:
    made = Seeds.written(tmp_path_factory.mktemp("fuzz"))
    warmed(made)
    return made


@pytest.mark.parametrize("kind", KINDS)
def test_no_mutation_ends_in_a_traceback_an_unknown_code_or_a_false_clean(seeds, kind):
    tally = fuzz(seeds, kind, 40, seed=1)
    assert tally.good, "\n".join(tally.wrong[:3])
    assert sum(tally.codes.values()) == 40
    assert tally.codes[2] > 10


def test_what_is_mutated_is_clean_as_it_stands(seeds):
    for problem in (seeds.folder, seeds.workbook):
        assert run(["check", str(problem), str(seeds.layout)]).code == 0


@pytest.mark.parametrize("mutation", [*OF_FOLDER, *OF_LAYOUT, *OF_WORKBOOK], ids=lambda mutation: mutation.what)
def test_every_mutation_changes_something(seeds, mutation: Mutation):
    data = seeds.layout.read_bytes() if mutation in OF_LAYOUT else (seeds.folder / "loads.csv").read_bytes()
    data = seeds.workbook.read_bytes() if mutation in OF_WORKBOOK and mutation not in OF_FOLDER else data
    assert any(mutation.change(data, Random(number)) != data for number in range(5))


def test_a_crash_is_told_from_an_end(seeds, monkeypatch):
    def crash() -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("benchmarks.fuzz.command", crash)
    tally = fuzz(seeds, "layouts", 2, seed=1)
    assert not tally.good
    assert tally.tracebacks == 2


def test_a_process_that_takes_all_memory_is_stopped(monkeypatch):
    monkeypatch.setattr("benchmarks.fuzz.command", lambda: [bytes(1 << 28) for _ in range(100)])
    assert "MemoryError" in run([]).said


def test_a_check_that_says_clean_of_everything_is_caught(seeds, monkeypatch):
    def clean() -> None:
        raise SystemExit(0)

    monkeypatch.setattr("benchmarks.fuzz.command", clean)
    assert fuzz(seeds, "layouts", 30, seed=1).false_clean > 5
    assert Tally("layouts").good

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from allocator import check, read_problem, solve
from allocator.importing.beginning import write_first
from allocator.problem import Bundling, Cables, Fit, Kind, Supply
from allocator.reading import settings, units
from allocator.reading.loads import LOAD_COLUMNS
from allocator.reading.network import GIVEN_WIRE_COLUMNS, PLACE_COLUMNS, RUN_COLUMNS, SEGMENT_COLUMNS
from allocator.reading.wire_tables import BUILTIN_FILES, WIRE_COLUMNS
from tests.cli.running import allocator

KEYS = {
    "top": settings.TOP_KEYS,
    "system": settings.SYSTEM_KEYS,
    "sources": settings.SOURCE_KEYS,
    "margins": settings.MARGIN_KEYS,
    "objective": settings.OBJECTIVE_KEYS,
    "wire": settings.WIRE_KEYS,
    "functions": settings.FUNCTION_KEYS,
    "unit_types": units.UNIT_TYPE_KEYS,
    "banks": units.BANK_KEYS,
    "outputs": units.OUTPUT_KEYS,
    "units": units.UNIT_KEYS,
    "bulkheads": units.BULKHEAD_KEYS,
    "contacts": units.CONTACT_KEYS,
    "loads.csv": LOAD_COLUMNS.known,
    "places.csv": PLACE_COLUMNS.known,
    "segments.csv": SEGMENT_COLUMNS.known,
    "runs.csv": RUN_COLUMNS.known,
    "wires.csv": GIVEN_WIRE_COLUMNS.known,
    "a wire table": WIRE_COLUMNS.known,
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return write_first(tmp_path_factory.mktemp("first") / "machine")


@pytest.fixture(scope="module")
def text(folder) -> str:
    return (folder / "problem.toml").read_text()


@pytest.mark.parametrize("part", KEYS)
def test_every_field_that_the_reader_knows_is_shown(part, folder, text):
    assert [key for key in KEYS[part] if not re.search(rf"\b{key}\b", text)] == []
    if part.endswith(".csv"):
        headings = (folder / part).read_text().splitlines()[0].split(",")
        assert set(KEYS[part]) <= set(headings)


@pytest.mark.parametrize("options", [Kind, Supply, Fit, units.BulkheadKind, Bundling, Cables])
def test_every_word_of_a_choice_is_shown(options, text):
    assert [option.value for option in options if option.value not in text] == []


def test_the_wire_tables_are_named(text):
    assert [name for name in BUILTIN_FILES if f'"{name}"' not in text] == []


def test_what_stands_behind_a_mark_as_a_default_is_the_default(text):
    from allocator.reading.defaults import DEFAULTS

    # 'robust' shows another value than the default, and says so
    for key, value in {**DEFAULTS["margins"], **DEFAULTS["objective"]}.items():
        found = re.search(rf'^(?:# )?{key} = "?([^"\n#]*?)"?\s*(?:#.*)?$', text, flags=re.MULTILINE)
        assert found is not None, key
        if key == "robust":
            continue
        same = {"0.3 m": "30 cm", "1": "1.0", "0": "0.0"}
        assert found[1] in (str(value), same.get(str(value))), key


def test_it_solves_as_it_stands(folder):
    problem = read_problem(folder)
    layout = solve(problem)
    assert layout.status == "optimal"
    assert check(problem, layout).clean


def test_the_command_makes_it_and_says_how_to_go_on(tmp_path):
    result = allocator("new", tmp_path / "machine")
    assert result.code == 0
    assert f"then: allocator solve {tmp_path / 'machine'}" in result.err
    assert read_problem(tmp_path / "machine").name == "Mobile bicycle workshop"


def test_for_programs_it_names_what_it_has_made(tmp_path):
    body = json.loads(allocator("new", tmp_path / "machine", "--json").out)
    assert body["folder"] == str(tmp_path / "machine")
    assert sorted(body["files"]) == sorted(path.name for path in (tmp_path / "machine").iterdir())


def test_an_empty_folder_may_be_named(tmp_path):
    (tmp_path / "machine").mkdir()
    assert allocator("new", tmp_path / "machine").code == 0
    assert read_problem(tmp_path / "machine").loads


def test_it_writes_over_nothing(tmp_path):
    (tmp_path / "machine").mkdir()
    (tmp_path / "machine" / "loads.csv").write_text("mine")
    result = allocator("new", tmp_path / "machine")
    assert result.code == 2
    assert "already exists, and nothing is overwritten" in result.err
    assert [(path.name, path.read_text()) for path in (tmp_path / "machine").iterdir()] == [("loads.csv", "mine")]


def test_from_a_schedule_it_is_an_import(tmp_path):
    (tmp_path / "list.csv").write_text("Item,Qty,Amps,Place\nFan,1,2.5,Roof\n")
    new = allocator("new", tmp_path / "a", "--from", tmp_path / "list.csv")
    imported = allocator("import", tmp_path / "list.csv", tmp_path / "b")
    assert new.code == imported.code == 0
    assert new.out == imported.out
    files = [{path.name: path.read_text() for path in (tmp_path / name).iterdir()} for name in "ab"]
    assert files[0] == files[1]
    told = json.loads(allocator("new", tmp_path / "c", "--from", tmp_path / "list.csv", "--json").out)
    assert told["items"] == 1

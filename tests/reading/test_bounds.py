"""No slip of a number fills the memory: what input can stretch has a bound, far above any machine."""

from __future__ import annotations

from pathlib import Path

import pytest

from allocator.problem import ProblemError, bounds
from allocator.reading import folder, read_problem, tables
from tests.cli.running import allocator
from tests.reading.folders import RUNS, SETTINGS, written

LIST = ", ".join(f'"P{number}"' for number in range(bounds.MOST_NAMES + 1))
POINTS = ", ".join(f'["{30 + n / 1e4:g} A", "{1 + n / 1e3:g} s"]' for n in range(bounds.MOST_POINTS + 1))
HOT = ", ".join(f'["{60 + n / 1e4:g} degC", 0.5]' for n in range(bounds.MOST_POINTS + 1))
TRIPS = ", ".join(f'"{1 + n / 1e4:g} A"' for n in range(bounds.MOST_TRIP_SETTINGS + 1))
NAMES = ", ".join(f'"c{number}"' for number in range(bounds.MOST_CONDITIONS + 1))


def refusal(path: Path) -> str:
    with pytest.raises(ProblemError) as error:
        read_problem(path)
    return str(error.value)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('trip_step = "1 A"', 'trip_step = "1e-6 A"',
         "'1e-6 A' makes 20,000,000 trip settings up to 20 A, more than the 10,000 that are read. Give a larger step."),
        ('trips = ["8 A", "3 A", "5 A"]', f"trips = [{TRIPS}]", "lists 10,001, more than the 10,000 that are read"),
        ('pins = ["H1", "H2"]', f"pins = [{LIST}]", "'pins': lists 5,001, more than the 5,000 that are read"),
        ('sizes = ["1 mm2", "2.5 mm2"]', f"sizes = [{LIST}]", "'sizes': lists 5,001, more than the 5,000"),
        ('[["60 A", "0.2 s"]]', f"[{POINTS}]", "'peaks': lists 1,001, more than the 1,000 that are read. Give fewer"),
        ('[["60 degC", 1.0], ["85 degC", 0.7]]', f"[{HOT}]", "'hot': lists 1,001, more than the 1,000 that are read"),
        ('["day", "night"]', f"[{NAMES}]", "'conditions': '201' is more than 200, the most that is read"),
        ("retries = 2", "retries = 1001", "'retries': '1001' is more than 1,000, the most that is read"),
        ("parallel = 2", "parallel = 101", "'parallel': '101' is more than 100, the most that is read"),
        ("robust = 1", "bundle_wires = 10001", "'bundle_wires': '10001' is more than 10,000, the most that is read"),
        ("robust = 1", "splice_wires = 1001", "'splice_wires': '1001' is more than 1,000, the most that is read"),
    ],
)  # fmt: skip
def test_a_list_that_settings_stretch_is_bounded(tmp_path, old, new, says):
    assert old in SETTINGS
    assert says in refusal(written(tmp_path, problem=SETTINGS.replace(old, new, 1)))


@pytest.mark.parametrize("part", ["sources", "bulkheads", "unit_types", "units", "functions"])
def test_a_list_of_tables_is_bounded(tmp_path, part, monkeypatch):
    monkeypatch.setattr("allocator.reading.assembly.MOST_OF", {**bounds.MOST_OF, part: 0})
    assert f"'{part}': lists " in refusal(written(tmp_path))


def test_a_quantity_is_bounded(tmp_path):
    path = written(tmp_path)
    text = (path / "loads.csv").read_text()
    heading, first, *_ = text.splitlines()
    cells = dict(zip(heading.split(","), first.split(","), strict=True)) | {"quantity": "1001"}
    (path / "loads.csv").write_text(text + ",".join({**cells, "load": "more"}.values()) + "\n")
    assert "'quantity': '1001' is more than 1,000, the most that is read. Check the number." in refusal(path)


def test_all_loads_together_are_bounded(tmp_path, monkeypatch):
    monkeypatch.setattr("allocator.reading.loads.MOST_OF", {**bounds.MOST_OF, "loads": 2})
    assert "makes more than 2 loads, the most that are read. Check the quantities." in refusal(written(tmp_path))


@pytest.mark.parametrize("name", ["places", "segments", "runs"])
def test_rows_of_a_table_are_bounded(tmp_path, name):
    path = written(tmp_path)
    heading = (path / f"{name}.csv").read_text().splitlines()[0]
    most = bounds.MOST_OF[name]
    row = "x" + "," * heading.count(",")
    (path / f"{name}.csv").write_text(f"{heading}\n" + f"{row}\n" * (most + 1))
    assert f"{name}.csv: has {most + 1:,} rows, more than the {most:,} that are read." in refusal(path)


def test_cells_of_a_table_and_bytes_of_settings_are_bounded(tmp_path, monkeypatch):
    monkeypatch.setattr(tables, "MOST_CELLS", 1000)
    monkeypatch.setattr(folder, "MOST_SETTINGS_BYTES", 1 << 20)
    path = written(tmp_path, problem=SETTINGS + "#" * (1 << 20), runs=RUNS + "a,b,c\n" * 400)
    text = refusal(path)
    assert "holds more than 1,000 cells, the most that are read" in text
    assert "problem.toml: is larger than 1 MB, the most that is read of settings." in text


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--steps", "1e-9"), "holds a rating of 1e-09 A. Give ratings from 0.01 to 10000 A"),
        (("--steps", ",".join(f"{n / 10:g}" for n in range(1, 302))), "301 ratings are more than 200."),
        (("--reserve", "1e300"), "'1e300' is not from 1e-09 to 1e+09"),
        (("--reserve", "2000%"), "'2000%' is above 1000 %"),
        (("--use", "1e-300"), "'1e-300' is not from 1e-09 to 1e+09"),
    ],
)
def test_a_number_behind_an_option_is_bounded(tmp_path, options, says):
    result = allocator("demand", written(tmp_path), *options)
    assert result.code == 2
    assert says in " ".join(result.err.replace("│", " ").split())

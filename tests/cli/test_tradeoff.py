from __future__ import annotations

import json

import pytest

from allocator.layout import Layout
from tests.cli.example import write_example
from tests.cli.running import allocator as run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("tradeoff"))


def test_the_points_are_a_table_with_their_proof(folder):
    result = run("tradeoff", folder)
    assert result.code == 0
    assert result.out.startswith("Honey trailer: copper against outputs used, optimal\n")
    assert "none is missing" in " ".join(result.out.split())
    assert "point found" in result.err
    assert max(map(len, result.out.splitlines())) <= 80


def test_json_holds_each_point_with_its_layout(folder):
    body = json.loads(run("tradeoff", folder, "--json", "--units").out)
    assert (body["against"], body["status"]) == ("units", "optimal")
    assert [point["units_fitted"] for point in body["points"]] == [1]
    assert Layout.from_json(json.dumps(body["points"][0]["layout"])).circuits


@pytest.mark.parametrize(("name", "begins"), [("points.png", b"\x89PNG"), ("points.svg", b"<?xml")])
def test_a_picture_is_drawn(folder, tmp_path, name, begins):
    result = run("tradeoff", folder, "--plot", tmp_path / name)
    assert result.code == 0
    assert (tmp_path / name).read_bytes().startswith(begins)
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_picture_of_another_kind_or_nowhere_ends_with_2(folder, tmp_path):
    assert "neither .png nor .svg" in run("tradeoff", folder, "--plot", tmp_path / "points.txt").err
    assert run("tradeoff", folder, "--plot", tmp_path / "none" / "points.png").code == 2


def test_stopped_at_once_it_says_that_points_may_be_missing(folder):
    result = run("tradeoff", folder, "--time-limit", "0")
    assert result.code in (0, 3)
    assert "may be missing" in " ".join(result.out.split())


def test_no_layout_possible_ends_with_1(folder, tmp_path):
    for path in folder.iterdir():
        (tmp_path / path.name).write_text(path.read_text().replace("260 W", "900 W"))
    result = run("tradeoff", tmp_path)
    assert result.code == 1
    assert "No layout is possible: proven." in result.out

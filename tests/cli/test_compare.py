from __future__ import annotations

import json

import pytest

from tests.cli.example import write_example
from tests.cli.running import allocator as run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("compare"))


@pytest.fixture(scope="module")
def engine(folder):
    assert run("solve", folder, "--out", folder.parent / "out").code == 0
    return folder.parent / "out" / "layout.json"


@pytest.fixture(scope="module")
def by_hand(folder, engine):
    """Decisions alone, all wire in 4 mm2, which is too thick for the light outputs; the scales are forgotten."""
    body = json.loads(engine.read_text())
    hand = {
        "format": body["format"],
        "units": [{"name": unit["name"], "site": unit["site"]} for unit in body["units"]],
        "circuits": [
            {"loads": item["loads"], "unit": item["unit"], "pins": item["pins"], "size": "4 mm2"}
            for item in body["circuits"]
            if item["loads"] != ["scales"]
        ],
    }
    path = folder.parent / "by-hand.json"
    path.write_text(json.dumps(hand))
    return path


def test_layouts_stand_side_by_side_with_what_breaks_fails_and_differs(folder, engine, by_hand):
    result = run("compare", folder, engine, by_hand)
    assert (result.code, result.err) == (0, "")
    assert result.out.startswith("Honey trailer: 2 layouts side by side\nA: ")
    for part in (
        "\nstatus                   optimal  hand-made\n",
        "\nviolations of the rules        0          5\n",
        "\nLength by size, in m\n",
        "\nCurrents of units and banks in A, and share of the limit\n",
        "\nLoads lost to single failures: in all, most at once\n",
        "\n1 load is not fed at all: scales.\n",
        "\nWeakest margins of B\n",
        "\nRules, A\nClean: the layout breaks no rule.\n",
        "\nRules, B\n5 violations of the rules:\n",
        "\nCircuits that differ\n",
        "\nCautions\n",
    ):
        assert part in result.out


def test_two_or_three_layouts_fit_into_80_columns(folder, engine, by_hand):
    for paths in ((engine, by_hand), (engine, by_hand, engine)):
        text = run("compare", folder, *paths).out
        # the paths given stand as they are
        assert all(len(line) <= 80 or str(folder.parent) in line for line in text.splitlines())


def test_five_layouts_stand_four_abreast(folder, engine):
    text = run("compare", folder, *[engine] * 5).out
    assert text.count("finished wire, g") == 2


def test_json_holds_everything(folder, engine, by_hand):
    result = run("compare", folder, engine, by_hand, "--json")
    found = json.loads(result.out)
    one, other = found["layouts"]
    assert (one["violations"], one["broken"]) == (0, [])
    assert other["violations"] == len(other["broken"]) == 5
    assert {item["rule"] for item in other["broken"]} == {"load fed once", "terminal range"}
    assert other["unfed"] == ["scales"]
    assert [unit["unit"] for unit in found["units"]] == []
    assert {tuple(item["loads"]) for item in found["circuits"]} >= {("scales",), ("extractor drum",)}
    kinds = {item["kind"] for item in one["failures"]}
    assert kinds == {"source", "feed", "unit", "bank", "output", "stud"}
    assert one["copper_g"] < other["copper_g"]


def test_one_layout_alone_ends_with_2(folder, engine):
    result = run("compare", folder, engine)
    assert (result.code, result.out) == (2, "")
    assert "There is nothing to compare one layout with. Give two or more." in " ".join(result.err.split())


def test_a_file_that_is_no_layout_ends_with_2_and_its_name(folder, engine, tmp_path):
    (tmp_path / "notes").write_text("hello")
    result = run("compare", folder, engine, tmp_path / "notes")
    assert (result.code, result.out) == (2, "")
    assert result.err.startswith(f"{tmp_path / 'notes'}: line 1: not JSON")


def test_a_layout_of_another_state_of_the_problem_is_said_to_be_one(folder, engine, tmp_path):
    body = json.loads(engine.read_text())
    body["problem"]["sha256"] = "0" * 64
    (tmp_path / "old.json").write_text(json.dumps(body))
    result = run("compare", folder, engine, tmp_path / "old.json")
    assert result.code == 0
    assert result.err.startswith(f"warning: {tmp_path / 'old.json'} was made for another state of the problem")


def test_check_tells_the_failures_that_lose_most(folder, engine):
    text = run("check", folder, engine).out
    assert "\nSingle failures that lose the most\n" in text
    found = json.loads(run("check", folder, engine, "--json").out)
    assert found["failures"][0]["object"] == "source battery"
    assert len(found["failures"][0]["loads"]) == 6
    assert found["unfed"] == []


def test_the_status_of_a_layout_made_for_another_state_is_not_taken_for_this_one(folder, engine, by_hand, tmp_path):
    body = json.loads(engine.read_text())
    body["problem"]["sha256"] = "0" * 64
    (tmp_path / "old.json").write_text(json.dumps(body))
    result = run("compare", folder, engine, by_hand, tmp_path / "old.json")
    assert "of another state\n" in result.out
    assert result.err.startswith(f"warning: {tmp_path / 'old.json'} was made for another state of the problem")
    told = json.loads(run("compare", folder, engine, by_hand, tmp_path / "old.json", "--json").out)["layouts"]
    assert [one["made_for_this_state"] for one in told] == [True, True, False]

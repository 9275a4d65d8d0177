from __future__ import annotations

import json

import pytest

from tests.cli.example import write_example
from tests.cli.running import allocator as run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("check"))


@pytest.fixture(scope="module")
def layout(folder):
    assert run("solve", folder, "--out", folder.parent / "out").code == 0
    return (folder.parent / "out" / "layout.json").read_text()


@pytest.fixture
def changed(layout, tmp_path):
    """Write the layout with one thing changed."""

    def write(change):
        body = json.loads(layout)
        change(body)
        path = tmp_path / "layout.json"
        path.write_text(json.dumps(body))
        return path

    return write


def nothing(body):
    assert body["circuits"]


def circuit(body, name):
    return next(item for item in body["circuits"] if item["name"] == name)


def test_a_solved_layout_is_clean(folder, changed):
    result = run("check", folder, changed(nothing))
    assert (result.code, result.err) == (0, "")
    assert "Clean: the layout breaks no rule.\n" in result.out


def wrong_pin(body):
    circuit(body, "scales")["pins"] = ["9X"]


def wrong_size(body):
    circuit(body, "extractor drum")["wires"][0]["size"] = "0.5 mm2"


def wrong_trip(body):
    circuit(body, "extractor drum")["trip_a"] = 9.0


def wrong_site(body):
    body["units"][0]["site"] = "drawbar"


@pytest.mark.parametrize(
    ("change", "named"),
    [(wrong_pin, "9X"), (wrong_size, "extractor drum"), (wrong_trip, "extractor drum"), (wrong_site, "drawbar")],
)
def test_a_changed_decision_ends_with_1_and_names_rule_object_and_amount(folder, changed, change, named):
    path = changed(change)
    result = run("check", folder, path)
    assert result.code == 1
    assert "of the rules:\n" in result.out
    found = json.loads(run("check", folder, path, "--json").out)
    assert found["clean"] is False
    assert any(named in item["object"] + item["text"] for item in found["violations"])
    for item in found["violations"]:
        assert item["rule"]
        assert item["object"]
        assert item["amount"] > 0
    assert any(item["unit"] for item in found["violations"])


def test_a_layout_by_hand_needs_decisions_only(folder, layout, tmp_path):
    body = json.loads(layout)
    by_hand = {
        "format": body["format"],
        "units": [{"name": unit["name"], "site": unit["site"]} for unit in body["units"]],
        "circuits": [
            {
                "loads": item["loads"],
                "unit": item["unit"],
                "pins": item["pins"],
                "size": max((wire["size"] for wire in item["wires"]), key=lambda size: float(size.split()[0])),
            }
            for item in body["circuits"]
        ],
    }
    (tmp_path / "hand.json").write_text(json.dumps(by_hand))
    result = run("check", folder, tmp_path / "hand.json")
    assert result.code == 0, result.out
    assert "copper" in result.out


def test_a_layout_of_another_state_of_the_problem_is_said_to_be_one(folder, changed):
    def other(body):
        body["problem"]["sha256"] = "0" * 64

    result = run("check", folder, changed(other))
    assert result.code == 0
    assert result.err.startswith("warning: the layout was made for another state of the problem")
    assert json.loads(run("check", folder, changed(other), "--json").out)["made_for_this_state"] is False


def test_a_layout_of_another_problem_is_said_to_be_one(folder, changed):
    def other(body):
        body["problem"] = {"name": "tea trolley", "sha256": "0" * 64}

    result = run("check", folder, changed(other))
    assert result.err.startswith("warning: the layout was made for another problem, 'tea trolley'; it is used with")


def test_failures_and_energy_are_told_to_people_and_to_programs(folder, changed):
    path = changed(nothing)
    text = run("check", folder, path).out
    assert "\nSingle failures that lose the most\n" in text
    assert "\nEnergy\n" in text
    body = json.loads(run("check", folder, path, "--json").out)
    assert body["made_for_this_state"] is True
    assert {one["kind"] for one in body["failures"]} >= {"source", "output"}
    most = max(body["energy"]["uses"], key=lambda use: use["mean_a"])
    assert f"{most['load']} {most['mean_a']:.1f} A" in " ".join(text.split())


def test_clean_for_programs(folder, changed):
    result = run("check", folder, changed(nothing), "--json")
    assert json.loads(result.out)["violations"] == []


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"{", "not JSON"),
        (b"[" * 100_000, "not JSON"),
        (b"\xff\xfe\x00", "not UTF-8 text"),
        (b"[]", "an object is needed here"),
        (b'{"format": "x"}', "'format' is 'x'"),
    ],
)
def test_a_file_that_is_no_layout_ends_with_2(folder, tmp_path, content, says):
    (tmp_path / "layout.json").write_bytes(content)
    result = run("check", folder, tmp_path / "layout.json")
    assert (result.code, result.out) == (2, "")
    assert result.err.startswith(f"{tmp_path / 'layout.json'}: ")
    assert says in result.err


def test_a_missing_layout_ends_with_2(folder, tmp_path):
    result = run("check", folder, tmp_path / "none.json")
    assert result.code == 2
    assert result.err == (
        f"{tmp_path / 'none.json'}: No such file or directory. Give a path that can be read or written.\n"
    )


def test_a_byte_order_mark_does_no_harm(folder, layout, tmp_path):
    (tmp_path / "layout.json").write_text("\ufeff" + layout, encoding="utf-8")
    assert run("check", folder, tmp_path / "layout.json").code == 0


def test_headroom_tells_what_may_still_be_added(folder, changed):
    path = changed(nothing)
    text = run("check", folder, path, "--headroom").out
    assert "\nWhat may still be added, on top of what is kept in reserve\n" in text
    assert max(map(len, text.splitlines())) <= 80
    found = json.loads(run("check", folder, path, "--headroom", "--json").out)["headroom"]
    assert {one["condition"] for one in found["rooms"]} == {"working", "parked"}
    assert [one["place"] for one in found["largest"]] == ["left wall"]
    assert "headroom" not in json.loads(run("check", folder, path, "--json").out)


def test_headroom_is_told_of_other_places_and_of_what_moves_make_room_for(folder, changed):
    path = changed(nothing)
    text = " ".join(run("check", folder, path, "--headroom", "--with-moves", "--at", "drawbar").out.split())
    assert "* at drawbar: " in text
    assert "* at drawbar, with circuits moved: " in text
    assert "* at left wall" not in text
    found = json.loads(run("check", folder, path, "--headroom", "--with-moves", "--at", "drawbar", "--json").out)
    (one,) = found["headroom"]["enlarged"]
    assert one["place"] == "drawbar"
    assert one["current_a"] == 0.0 or one["current_a"] > found["headroom"]["largest"][0]["current_a"]
    assert all(len(pair) == 2 for pair in one["tried"])


def test_a_place_of_no_name_is_refused_with_the_one_that_is_near(folder, changed):
    result = run("check", folder, changed(nothing), "--headroom", "--at", "drawbra")
    assert result.code == 2
    assert "'drawbra' is not a place of the problem. Write 'drawbar' if that is meant." in result.err


def test_what_says_more_of_the_headroom_asks_for_it(folder, changed):
    assert run("check", folder, changed(nothing), "--with-moves").code == 2

from __future__ import annotations

import json

import pandas as pd
import pytest

from tests.cli.example import write_example
from tests.cli.running import allocator as run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write_example(tmp_path_factory.mktemp("report"))


@pytest.fixture(scope="module")
def solved(folder):
    out = folder.parent / "out"
    assert run("solve", folder, "--out", out).code == 0
    return out


@pytest.fixture
def by_hand(solved, tmp_path):
    """Decisions alone, with the scales forgotten."""
    body = json.loads((solved / "layout.json").read_text())
    hand = {
        "format": body["format"],
        "units": [{"name": unit["name"], "site": unit["site"]} for unit in body["units"]],
        "circuits": [
            {"loads": item["loads"], "unit": item["unit"], "pins": item["pins"], "size": item["wires"][0]["size"]}
            for item in body["circuits"]
            if item["loads"] != ["scales"]
        ],
    }
    path = tmp_path / "by-hand.json"
    path.write_text(json.dumps(hand))
    return path


def test_the_lists_are_those_that_solving_wrote(folder, solved, tmp_path):
    result = run("report", folder, solved / "layout.json", "--out", tmp_path / "again")
    assert result.code == 0
    assert result.err == f"written to {tmp_path / 'again'}\n"
    assert result.out.startswith("Honey trailer: lists of a layout\nClean: the layout breaks no rule.\n")
    assert "Wiring can burn" in result.out
    assert max(map(len, result.out.splitlines())) <= 80
    written = {path.name for path in (tmp_path / "again").iterdir()}
    assert "lists.xlsx" in written
    assert written == {path.name for path in solved.iterdir()}
    # a workbook and a manifest tell when, and by which command
    for name in written - {"lists.xlsx", "manifest.json"}:
        assert (tmp_path / "again" / name).read_bytes() == (solved / name).read_bytes()


def test_a_layout_by_hand_that_breaks_rules_is_listed_with_them_on_top(folder, by_hand, tmp_path):
    result = run("report", folder, by_hand, "--out", tmp_path / "out")
    assert result.code == 1
    head = result.out.splitlines()[:2]
    assert head == ["Honey trailer: lists of a layout", "2 violations of the rules:"]
    found = pd.read_csv(tmp_path / "out" / "violations.csv")
    # one size for all wires is too thin for the return of both the warmer's outputs
    assert found["rule"].tolist() == ["load fed once", "wire ampacity"]
    assert {*pd.read_csv(tmp_path / "out" / "cut-list.csv")["layout"]} == {"BREAKS 2 RULES"}
    assert pd.read_excel(tmp_path / "out" / "lists.xlsx")["rule"].tolist() == found["rule"].tolist()
    assert pd.read_csv(tmp_path / "out" / "outputs.csv")["state"].tolist().count("used") == 4


def test_json_holds_every_list_row_by_row(folder, solved):
    result = run("report", folder, solved / "layout.json", "--json")
    body = json.loads(result.out)
    assert (result.code, body["clean"], body["violations"]) == (0, True, [])
    total = json.loads((solved / "layout.json").read_text())["totals"]["length_m"]
    assert sum(row["length [m]"] for row in body["lists"]["cut-list"]) == pytest.approx(total)


def test_a_column_of_the_schedule_is_carried_to_the_lists(solved):
    outputs = pd.read_csv(solved / "outputs.csv").set_index("pin")
    assert outputs.loc[3, "stock"] == "M 12"
    items = pd.read_csv(solved / "shopping.csv").query("kind == 'item'")
    assert items["what"].tolist() == ["scales"]


def test_a_layout_of_another_state_is_doubted(folder, solved, tmp_path):
    body = json.loads((solved / "layout.json").read_text())
    body["problem"]["sha256"] = "0" * 64
    other = tmp_path / "other.json"
    other.write_text(json.dumps(body))
    result = run("report", folder, other, "--out", tmp_path / "out")
    assert result.code == 0
    assert "the layout was made for another state of the problem" in result.err
    assert {*pd.read_csv(tmp_path / "out" / "trips.csv")["layout"]} == {"made for another state of the problem"}


def test_lengths_are_rounded_and_wire_is_bought_as_asked(folder, solved, tmp_path):
    result = run("report", folder, solved / "layout.json", "--out", tmp_path, "--cut-step", "1 ft", "--waste", "25 %")
    assert result.code == 0
    cut = pd.read_csv(tmp_path / "cut-list.csv")
    steps = cut["cut length [m]"] / 0.3048  # the international foot, exactly
    assert steps.tolist() == pytest.approx(steps.round().tolist(), abs=1e-6)
    assert ((cut["cut length [m]"] - cut["length [m]"]) < 0.3048).all()
    shopping = pd.read_csv(tmp_path / "shopping.csv")
    wire = shopping[shopping["kind"].str.startswith("wire")]
    assert wire["cut [m]"].sum() == pytest.approx(cut["cut length [m]"].sum())
    # bought in tenths of a metre, rounded up
    more = wire["buy [m]"] - 1.25 * wire["cut [m]"]
    assert more.between(-1e-9, 0.1).all()


@pytest.mark.parametrize(
    ("option", "value", "wrong"),
    [
        ("--cut-step", "5", "'5' has no unit. Write a length in m, such as 1.2 m (or 1200 mm)"),
        ("--cut-step", "5 A", "'5 A' is not a length: 'A' measures something else"),
        ("--cut-step", "-5 cm", "'-5 cm' is negative"),
        ("--cut-step", "0 m", "'0 m' is not a step length. Write a length above 0, such as '5 cm'"),
        ("--waste", "10", "'10' is above 100 %. Write a share such as '10 %' or 0.1"),
        ("--waste", "much", "'much' is not a number of 0 or more"),
        ("--waste", "-1 %", "is not a number of 0 or more"),
        ("--time-limit", "5", "--time-limit is for the trade-off. Add --tradeoff."),
    ],
)
def test_a_wrong_step_or_share_is_refused(folder, solved, tmp_path, option, value, wrong):
    result = run("report", folder, solved / "layout.json", "--out", tmp_path / "out", option, value)
    assert (result.code, result.out) == (2, "")
    assert wrong in " ".join(result.err.split())
    assert not (tmp_path / "out").exists()


def test_the_trade_off_is_put_onto_the_page_when_asked_for(folder, solved, tmp_path):
    plain, traded = tmp_path / "plain", tmp_path / "traded"
    assert run("report", folder, solved / "layout.json", "--out", plain).code == 0
    result = run("report", folder, solved / "layout.json", "--out", traded, "--tradeoff", "--json")
    assert result.code == 0
    assert "point found" in result.err
    title = "How much copper extra outputs save"
    assert title not in (plain / "page.html").read_text()
    page = (traded / "page.html").read_text()
    assert title in page
    for point in json.loads(result.out)["tradeoff"]["points"]:
        assert f"{point['copper_g']:.1f}" in page
    assert (plain / "cut-list.csv").read_bytes() == (traded / "cut-list.csv").read_bytes()


def test_where_no_layout_is_possible_the_trade_off_says_so_and_the_rest_is_written(folder, solved, tmp_path):
    hotter = tmp_path / "hotter"
    hotter.mkdir()
    for path in folder.iterdir():
        (hotter / path.name).write_text(path.read_text().replace("260 W", "900 W"))
    result = run("report", hotter, solved / "layout.json", "--out", tmp_path / "out", "--tradeoff")
    assert result.code == 1
    assert "No layout is possible: proven." in (tmp_path / "out" / "page.html").read_text()


def test_without_a_folder_it_says_what_to_give(folder, solved):
    result = run("report", folder, solved / "layout.json")
    assert (result.code, result.out) == (2, "")
    assert result.err == "nowhere to write the lists to. Give --out DIR, or --json to print them.\n"


def test_a_file_in_the_way_is_refused(folder, solved, tmp_path):
    (tmp_path / "out").write_text("a file")
    result = run("report", folder, solved / "layout.json", "--out", tmp_path / "out")
    assert result.code == 2
    assert (tmp_path / "out").read_text() == "a file"

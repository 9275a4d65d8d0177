"""Lists as a user opens them: written to files, read again with pandas, and held against the layout."""

from __future__ import annotations

from collections import Counter
from io import BytesIO, StringIO
from itertools import pairwise

import pandas as pd
import pytest

from allocator.checking import check
from allocator.layout import Layout
from allocator.problem import Bundling, Problem
from allocator.reporting.lists import build_of
from allocator.reporting.lists.sheets import WORKBOOK, list_files
from allocator.reporting.records import wires

MARKS = ["layout", "problem sha256"]


def opened(problem: Problem, layout: Layout) -> dict[str, pd.DataFrame]:
    """Every list read from its CSV; the workbook must say the same."""
    files = list_files(build_of(problem, layout))
    book = pd.read_excel(BytesIO(files.pop(WORKBOOK)), sheet_name=None, keep_default_na=False, na_values=[""])
    found = {}
    for name, text in files.items():
        table = pd.read_csv(StringIO(text), keep_default_na=False, na_values=[""])
        name = name.removesuffix(".csv")
        found[name] = table.drop(columns=MARKS)
        if name in book or len(table):
            pd.testing.assert_frame_equal(book.pop(name), found[name], check_dtype=False)
    assert not book
    return found


def assert_sums(problem: Problem, layout: Layout) -> None:
    """Every list opened again sums up to what the layout file says."""
    lists, layout = opened(problem, layout), check(problem, layout).layout
    records = wires(layout).frame()
    _wire(lists, layout, records)
    _outputs(lists, layout)
    _bulkheads(problem, lists, layout)
    _bundles(problem, lists["bundles"], lists["bundle-heat"], records)
    units = lists["condition-currents"].query("kind == 'unit'").set_index("name")
    for unit in layout.units:
        for condition, current in unit.current_a:
            assert units.loc[unit.name, f"in {condition} [A]"] == pytest.approx(current, abs=1e-5)
    assert set(lists["assumptions"]["kind"]) >= {"problem", "labels", "caution"}
    assert (lists["assumptions"]["kind"] == "default").sum() == len(layout.defaults or problem.defaults)


def _wire(lists: dict[str, pd.DataFrame], layout: Layout, records: pd.DataFrame) -> None:
    totals, cut, shop = layout.totals, lists["cut-list"], lists["shopping"]
    near = {"rel": 1e-9, "abs": 1e-3}
    for table in (cut, shop):
        assert table["length [m]"].sum() == pytest.approx(totals.length_m, abs=1e-5)
        assert table["mass [g]"].sum() == pytest.approx(totals.wire_g, **near)
        assert table["copper [g]"].sum() == pytest.approx(totals.copper_g, **near)
    feeds = lists["feeds-and-fuses"]
    of_units = feeds[feeds["label"].str.startswith("feed ")]
    assert of_units["copper [g]"].sum() == pytest.approx(totals.feed_copper_g, **near)
    # two pieces of one wire sum up to it
    whole = cut["label"].str.replace(r"/[a-z]+$", "", regex=True)
    assert not cut["label"].duplicated().any()
    pieces = cut.groupby(whole)["length [m]"].sum()
    assert pieces.to_dict() == pytest.approx(records.set_index("label")["length_m"].to_dict(), abs=2e-6)
    assert (cut["cut length [m]"] >= cut["length [m]"] - 1e-6).all()
    assert shop["cut [m]"].sum() == pytest.approx(cut["cut length [m]"].sum())
    assert (shop["buy [m]"].dropna() >= 1.1 * shop["cut [m]"].dropna() - 1e-6).all()
    guards = records.assign(guard=records["fuse_a"].fillna(records["trip_a"])).set_index("label")["guard"].dropna()
    assert cut.set_index(whole)["trip or fuse [A]"].dropna().to_dict() == pytest.approx(guards.to_dict())
    needed = shop.groupby("kind")["needed"].sum()
    direct = [one for one in layout.direct if one.fuse_a is not None]
    assert needed.get("fuse", 0) == len(direct) + sum(unit.feed is not None for unit in layout.units) == len(feeds)
    assert needed.get("unit", 0) == totals.units_fitted
    assert needed.get("splice", 0) == totals.splices == lists["splices"]["splices"].sum()


def _outputs(lists: dict[str, pd.DataFrame], layout: Layout) -> None:
    totals, outputs = layout.totals, lists["outputs"]
    states = Counter(outputs["state"])
    assert (states["used"], states["spare"]) == (totals.outputs_used, totals.outputs_spare)
    assert states["unused"] == totals.outputs_unused
    assert len(lists["trips"]) == totals.outputs_used
    joined = lists["trips"].astype({"pin": str}).merge(outputs.astype({"pin": str}), on=["unit", "pin"])
    assert (joined["trip [A]_x"] == joined["trip [A]_y"]).all()
    assert len(joined) == totals.outputs_used


def _bulkheads(problem: Problem, lists: dict[str, pd.DataFrame], layout: Layout) -> None:
    contacts, records = lists["bulkhead-contacts"], wires(layout).frame()
    circuits = [*layout.circuits, *layout.direct]
    named = [c for circuit in circuits for wire in circuit.wires for c in wire.contacts]
    named += [c for run in layout.given for c in run.contacts]
    taken = contacts[contacts["contact"].notna() & (contacts["state"] == "taken")]
    assert Counter(taken["bulkhead"]) == Counter(one.bulkhead for one in named)
    assert not contacts[contacts["contact"].notna()].duplicated(["bulkhead", "contact"]).any()
    for bulkhead in problem.bulkheads:
        own = contacts[contacts["bulkhead"] == bulkhead.name]
        assert sorted(own["contact"].dropna()) == list(range(1, 1 + sum(one.count for one in bulkhead.contacts)))
        assert own["contact"].isna().sum() == bulkhead.studs
    # a connector parts each wire that passes it in two: one piece more for each time
    parted = [one for one in taken["kind"] if one == "connector"]
    studs = contacts[(contacts["takes"] == "stud") & (contacts["state"] == "taken")]
    feeds = studs[studs["kind"] == "connector"]
    assert len(lists["cut-list"]) == len(records) + len(parted) + len(feeds)
    assert len(lists["studs"]) == sum(records["role"] == "return")


def _bundles(problem: Problem, bundles: pd.DataFrame, heat: pd.DataFrame, records: pd.DataFrame) -> None:
    passes = Counter(frozenset(pair) for route in records["route"] for pair in pairwise(route.split("; ")))
    segments = {frozenset((segment.start, segment.end)) for segment in problem.segments}
    found = {frozenset((row["from"], row["to"])): row["wires"] + row["cables beside"] for _, row in bundles.iterrows()}
    assert found == {pair: count for pair, count in passes.items() if pair in segments}
    wired = bundles[bundles["wires"] > 0]
    assert (wired["sleeve [mm]"] >= wired["diameter [mm]"] - 1e-6).all()
    assert (wired["sleeve filled [%]"] <= 100.0).all()
    assert wired["published factor"].notna().all()
    warm = (bundles["wires"] > 1) & (problem.margins.bundle is Bundling.HEAT)
    assert (bundles["heat [W/m]"].notna() == warm).all()
    assert len(heat) == warm.sum() * len(problem.conditions)

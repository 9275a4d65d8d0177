"""What the engine would put behind a trip or fuse, against published rules on protectors and wire."""

from __future__ import annotations

from typing import Any

import pytest

from allocator.evaluation.complete import complete
from allocator.evaluation.prepare import prepare
from allocator.problem import Margins
from allocator.wiring import bundle_factor, standard_fuses
from tests.checking.rich import rich_layout, rich_problem
from tests.published.tables import rows
from tests.published.test_allowance import GAUGES, against, allowed


def gauge(size: str) -> Any:
    return next(wire for wire in GAUGES if wire.size == size and wire.insulation_c == 105.0)


def largest_fuse_a(carries_a: float) -> float:
    return max(fuse for fuse in standard_fuses() if fuse <= carries_a)


@pytest.mark.parametrize("row", rows("protectors"), ids=lambda row: row["size"])
def test_a_wire_in_a_bundle_has_no_larger_protector_than_ac_43_13_allows(row: dict[str, str]) -> None:
    """AC 43.13-1B Table 11-3 (seen). Its conditions (57.2 degC, 15 wires, 20 % loading) are from memory."""
    carries = allowed(gauge(row["size"]), 57.2) * bundle_factor(15, 0.2)
    if row["breaker [A]"]:
        assert carries <= float(row["breaker [A]"])
    assert largest_fuse_a(carries) <= float(row["fuse [A]"])


@pytest.mark.parametrize(("wire", "table_a"), against("33 CFR 183.425", GAUGES, {105: 105, 125: 125}), ids=str)
def test_a_fuse_is_never_above_the_wire_where_regulations_would_let_it(wire: Any, table_a: float) -> None:
    """33 CFR 183.455(c)(1): up to 150 % of Table 5. 46 CFR 183.380(d): the next size up, to 150 %.

    A state road agency's workshop guide: the next size up, to 125 % (all seen). Ours stays at or below 100 %.
    """
    assert largest_fuse_a(allowed(wire, 30.0)) <= table_a


@pytest.mark.parametrize("wires", [4, 5, 6])
def test_a_bundle_in_an_engine_space(wires: int) -> None:
    """10 AWG, 105 degC, 4 to 6 conductors at 50 degC: 60 x 0.6 x 0.85 = 30.6 A (ABYC E-11 example, seen)."""
    carries = allowed(gauge("10 AWG"), 50.0) * bundle_factor(wires, 1.0)
    assert 0.75 * 30.6 <= carries <= 30.6


def test_load_protector_and_wire_rise_in_this_order() -> None:
    """Ib <= In <= Iz (IEC 60364-4-43, 433.1; seen), for every wire behind a trip or fuse of a whole layout."""
    there = rich_problem()
    context = prepare(there, complete(there, rich_layout()))
    conductors = [*context.feeds.values(), *(conductor for _, conductor in context.wires())]
    assert len(conductors) > 10
    for one in conductors:
        assert one.guard_a is not None
        assert one.ampacity_a is not None
        assert one.current_a <= one.guard_a <= one.ampacity_a


def test_what_a_fuse_melts_at_for_sure_is_below_1_45_times_the_wire() -> None:
    """I2 <= 1.45 Iz (IEC 60364-4-43, 433.1; seen): a blade fuse opens at 135 % (ISO 8820-3; memory), and In <= Iz."""
    gates = {float(row["current [% of rating]"]): row["most time [s]"] for row in rows("fuse-gates")}
    opens = min(percent for percent, most in gates.items() if most)
    assert opens <= 145.0


def test_default_drops_are_those_of_small_craft_practice() -> None:
    """3 % for what matters (ABYC E-11 and ISO 10133 quoted; seen in two documents)."""
    assert Margins().branch_drop == 0.03


def test_default_drops_leave_a_lamp_85_percent_of_its_volts() -> None:
    """California 13 CCR 1249(c) (seen): at the socket at least 85 % of the design voltage, engine running."""
    margins = Margins()
    assert 1.0 - margins.branch_drop - margins.feed_drop >= 0.85

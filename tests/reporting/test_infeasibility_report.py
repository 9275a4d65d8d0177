"""Why there is no layout, as it is told: what is proven, what is only the best try, what was tried in vain."""

from __future__ import annotations

from dataclasses import replace

from allocator.infeasibility import proposals
from allocator.infeasibility.why_not import Infeasibility
from allocator.model.elastic import Shortfall
from allocator.model.limits import Limit, LimitKey, LimitKind
from allocator.reporting.infeasibility_report import CAUTION, KINDS, UNPROVEN, in_vain, record, whole, why
from allocator.reporting.text import plain

BANK = Limit(LimitKey(LimitKind.BANK, 0, "right"), "bank right of unit rear at shelf", 58.0, "A", 1000.0, "surgery")
FOUND = Infeasibility(
    "van", (), (Shortfall(BANK, 3.6),), (), vain=(("ratings",), ("units", "feeds"), ("ratings", "outputs", "units"))
)


def words(found: Infeasibility) -> str:
    return " ".join(plain(whole(found)).split())


def test_a_limit_is_told_with_amount_and_unit() -> None:
    assert FOUND.sentence == (
        "The smallest shortfall: bank right of unit rear at shelf in condition surgery: 3.6 A over 58 A."
    )
    assert "bank right of unit rear at shelf surgery 3.600 58.000 A" in words(FOUND)


def test_what_was_tried_in_vain_is_told_by_kind() -> None:
    assert in_vain(FOUND) == (
        "No way out was found. Tried without success: each by itself, higher ratings of units and banks; "
        "two at once, 1 pair of these; all at once, higher ratings of units and banks, more outputs, more units."
    )
    assert in_vain(FOUND) in words(FOUND)
    assert record(FOUND)["tried_in_vain"] == [["ratings"], ["units", "feeds"], ["ratings", "outputs", "units"]]
    assert CAUTION not in words(FOUND)


def test_every_kind_of_change_has_words() -> None:
    beside = {getattr(proposals, name) for name in ("MENDED", "OPTIONS", "BUNDLES", "PINS", "SEALS", "SIZES")}
    assert {*KINDS} == {kind.name for kind in proposals.KINDS} | beside


def test_a_search_that_found_nothing_is_not_called_infeasible() -> None:
    text = words(replace(FOUND, proven=False, least=False))
    said = "No layout was found in the time, and it is not proven that there is none."
    assert text.startswith(f"van: no layout found {said}")
    assert "The smallest shortfall found in the time" in text
    assert UNPROVEN in text
    assert UNPROVEN not in words(FOUND)


def test_without_a_reason_that_is_said_and_no_ways_are_missed() -> None:
    unknown = Infeasibility("van", (), (), (), least=False, complete=False, proven=False)
    assert plain(why(unknown)).strip() == "No reason is known: time ran out before one was found."


HEAT = Limit(LimitKey(LimitKind.BUNDLE, 2), "bundle dash - rear", 14.0, "W/m", 1.0, "night")
WIRES = Limit(LimitKey(LimitKind.BUNDLE_WIRES, 2), "wires of bundle dash - rear", 12.0, "wire", 1.0)


def test_heat_is_told_in_watts_a_metre_with_what_helps_a_bundle() -> None:
    found = replace(FOUND, shortfalls=(Shortfall(HEAT, 3.14),))
    assert "bundle dash - rear night 3.1 14.0 W/m" in words(found)
    assert "What helps a bundle:" in words(found)
    assert "0.031 14.0 W/m" in words(replace(FOUND, shortfalls=(Shortfall(HEAT, 0.031),)))


def test_wires_over_those_stated_are_counted() -> None:
    found = replace(FOUND, shortfalls=(Shortfall(WIRES, 2.0),))
    assert "wires of bundle dash - rear 2 12 wires" in words(found)
    assert "What helps a bundle:" in words(found)
    assert "What helps a bundle:" not in words(FOUND)


def test_loads_that_no_output_can_feed_are_said_to_be_left_aside() -> None:
    aside = "leaving out the loads that no output can feed"
    assert aside in words(replace(FOUND, unfed=True))
    assert aside not in words(FOUND)

"""Every code of what rules out a layout, and of what was not listed in full, has its sentence with its figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import FrozenInstanceError
from enum import StrEnum
from string import Formatter

import pytest

from allocator.options import Cut, CutShort, Evident, Fault
from allocator.options.cut_short import _SENTENCES as OF_CUTS
from allocator.options.faults import _SENTENCES as OF_FAULTS
from allocator.options.option_list import workbench
from allocator.problem import Line
from allocator.routing import Network
from allocator.routing.routes import MOST_ROUTES
from tests.routing.machines import ladder, machine


def figures_of(code: StrEnum, sentences: Mapping[StrEnum, str]) -> list[str | float]:
    """Something for each place in the sentence of a code: a number where it is formatted as one."""
    fields = [(name, spec) for _, name, spec, _ in Formatter().parse(sentences[code]) if name == ""]
    return [1.5 if spec else "front" for _, spec in fields]


@pytest.mark.parametrize("code", Evident)
def test_every_code_of_a_fault_has_a_sentence(code: Evident) -> None:
    named = figures_of(code, OF_FAULTS)
    why = (Fault(Evident.SITE_FULL, ("locker",)), Fault(Evident.SITE_WET, ("bow", "box")))
    said = Fault(code, tuple(named), why if "{because}" in OF_FAULTS[code] else ()).text
    assert all(("1.5" if one == 1.5 else "front") in said for one in named)
    if "{because}" in OF_FAULTS[code]:
        assert said.endswith(": 'locker' has no room for a unit; 'bow' is wet, and type 'box' is not sealed.")


@pytest.mark.parametrize("code", Cut)
def test_every_code_of_what_was_cut_short_has_a_sentence(code: Cut) -> None:
    named = figures_of(code, OF_CUTS)
    assert CutShort(code, tuple(str(one) for one in named)).text.count("front") == len(named)


def test_several_names_are_listed_each_in_marks() -> None:
    assert Fault(Evident.FEED, (("left", "right, low"),)).text == (
        "No feed cable of the table carries what unit 'left', 'right, low' needs to any of its sites."
    )


@pytest.mark.parametrize("one", [Fault(Evident.NO_UNIT), CutShort(Cut.TIME)], ids=repr)
def test_neither_can_be_changed(one: Fault | CutShort) -> None:
    with pytest.raises(FrozenInstanceError):
        one.what = Evident.ROOM  # type: ignore[misc]


ROUTES = "the 24 shortest were kept, and longer ones only where cooler, with other insulation asked for, or crossing a "


def test_routes_that_a_cap_left_out_are_told_with_three_of_the_places() -> None:
    problem = ladder(6)
    bench = workbench(problem, Network(problem), ())
    bench.routes("m0", "m6", (Line.WIRE,))
    (cut,) = bench.cut_short
    assert cut.what is Cut.ROUTES
    assert cut.text == (
        f"Routes from 'm0' to or by way of 'l4', 'l5', 'm5' and 3 more: {ROUTES}bulkhead less often than all of them."
    )


def test_segments_to_go_round_are_told_with_the_routes_that_a_cap_left_out() -> None:
    cut = CutShort(Cut.ROUTES_ROUND, ("m0", ("l4", "m5"), MOST_ROUTES, ("m5 - w", "m5 - x", "m5 - y", "m5 - z")))
    assert cut.text == (
        f"Routes from 'm0' to or by way of 'l4', 'm5': {ROUTES}bulkhead less often than all of them, or going round "
        "one of these segments where all of them pass it: 'm5 - w', 'm5 - x', 'm5 - y' and 1 more."
    )


def test_what_another_listing_asked_of_the_network_is_not_told() -> None:
    problem = ladder(6)
    network = Network(problem)
    network.routes("m0", "m6")
    bench = workbench(problem, network, ())
    bench.routes("m0", "m1", (Line.WIRE,))
    other = workbench(machine(problem.places), network, ())
    assert (len(bench.cut_short), other.cut_short) == (1, ())


def test_what_was_cut_short_is_told_in_one_order_wires_routes_trees() -> None:
    problem = ladder(6)
    bench = workbench(problem, Network(problem), ())
    bench.cut.update((CutShort(Cut.TREE, ("m0", 13, 12)), CutShort(Cut.SHARED_RETURNS), CutShort(Cut.ALIKE_RETURNS)))
    bench.routes("m0", "m6", (Line.WIRE,))
    assert [one.what for one in bench.cut_short] == [Cut.ALIKE_RETURNS, Cut.SHARED_RETURNS, Cut.ROUTES, Cut.TREE]
    assert bench.cut_short[-1].text == (
        "The tree from 'm0' to 13 places is an approximation, at most twice as long as the shortest: trees are exact "
        "for up to 12 places."
    )

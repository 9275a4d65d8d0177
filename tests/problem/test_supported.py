from __future__ import annotations

import pytest

from allocator.problem import GivenWire, Margins, Problem, Supply
from allocator.problem.draft import Draft
from allocator.problem.supported import NOT_YET, unsupported
from tests.problem.samples import load, problem

EXAMPLES = {
    "bundle factors": problem(margins=Margins()),
    "loads fed from the source": problem(loads=(load(), load("alarm", supply=Supply.DIRECT))),
    "wires that are given": problem(given_wires=(GivenWire(name="wake", start="box", end="door", size="1 mm2"),)),
    "start currents": problem(loads=(load(), load("pump", inrush_a=40.0, inrush_s=0.1))),
}


@pytest.mark.parametrize("what", [what for _, what, _ in NOT_YET])
def test_what_is_not_obeyed_is_refused_by_its_name(what: str) -> None:
    (mistake,) = unsupported(Draft.of(EXAMPLES[what]))
    assert f"is not yet supported: {what}. " in str(mistake)
    assert mistake.remedy


def test_what_is_obeyed_is_not_refused() -> None:
    assert isinstance(problem(), Problem)
    assert unsupported(Draft.of(problem())) == ()

from __future__ import annotations

import pytest

from allocator.checking import RULES, check
from tests.checking.cases import CASES


def test_every_rule_has_a_layout_that_keeps_it_and_one_that_breaks_it():
    assert sorted(CASES) == sorted(RULES)


@pytest.mark.parametrize("rule", CASES)
def test_rule_is_kept(rule):
    assert check(*CASES[rule].good).violations == ()


@pytest.mark.parametrize("rule", CASES)
def test_breaking_one_rule_breaks_no_other(rule):
    case = CASES[rule]
    assert {violation.rule for violation in check(*case.bad).violations} == {rule, *case.also}


@pytest.mark.parametrize("rule", CASES)
def test_violation_has_object_amount_and_unit(rule):
    case = CASES[rule]
    found = {(v.object, v.unit): v.amount for v in check(*case.bad).violations}
    assert found[case.object, case.unit] == pytest.approx(case.amount, rel=1e-9)

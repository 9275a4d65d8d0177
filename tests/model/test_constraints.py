"""Every constraint family is needed, and says what it is meant to: a case that fits and one that fails for each."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from allocator.model import build
from allocator.model.constraints import CONSTRAINTS, TIGHTENING
from allocator.model.variables import variables
from allocator.options import OptionList, list_options
from allocator.search.solve import solve
from tests.engine.draws import ALL, SMALL, draw
from tests.model.cases import FAILS, FITS, NAMES, answer, expected, family_of, folder, problem, whole

SEVERAL_OF_A_KIND = frozenset({"several sites", "sites", "mass", "if needed"})
BOTH = [(case, which) for case in NAMES for which in (FITS, FAILS)]


@cache
def listed(case: str, which: str) -> OptionList:
    return whole(problem(case, which))


def test_every_family_has_a_case_or_only_tightens() -> None:
    assert {family_of(case) for case in NAMES} == {*CONSTRAINTS} - {*TIGHTENING}


@pytest.mark.parametrize("case", NAMES)
def test_the_two_folders_of_a_case_differ_in_one_number(case: str) -> None:
    fits, fails = words(folder(case, FITS)), words(folder(case, FAILS))
    assert len(fits) == len(fails)
    changed = [(one, other) for one, other in zip(fits, fails, strict=True) if one != other]
    assert len(changed) == 1
    assert all(re.fullmatch(NUMBER, word) for word in changed[0])


@pytest.mark.parametrize("case", NAMES)
def test_every_column_has_an_upper_bound(case: str) -> None:
    """Without one HiGHS tightens bounds in endless small steps: a solve of 19 s took 2 s with them."""
    assert [column.name for column in build(listed(case, FITS)).columns if column.upper is None] == []


@pytest.mark.parametrize(("case", "which"), BOTH)
def test_the_model_answers_as_the_case_says(case: str, which: str) -> None:
    assert answer(listed(case, which)) == expected(case, which)


@pytest.mark.parametrize(("case", "which"), BOTH)
def test_solving_answers_as_the_case_says(case: str, which: str) -> None:
    layout = solve(problem(case, which))
    stated = expected(case, which)
    assert (layout.status, layout.objective_g) == (stated.status, stated.objective_g)


@pytest.mark.parametrize("case", NAMES)
def test_a_case_fits_and_its_twin_does_not_or_is_dearer(case: str) -> None:
    fits, fails = expected(case, FITS), expected(case, FAILS)
    assert fits.status == "optimal"
    if fails.status == "optimal":
        assert (fails.objective_g or 0.0) > (fits.objective_g or 0.0)
    else:
        assert (fails.status, fails.objective_g) == ("infeasible", None)


@pytest.mark.parametrize("case", NAMES)
def test_without_its_family_the_twin_that_fails_is_answered_otherwise(case: str) -> None:
    # what only tightens the bound says some of the same things again, and so is left out with it
    assert answer(listed(case, FAILS), without={family_of(case), *TIGHTENING}) != expected(case, FAILS)


@pytest.mark.parametrize(("case", "which"), BOTH)
@pytest.mark.parametrize("family", TIGHTENING)
def test_a_tightening_family_changes_no_answer_of_a_case(family: str, case: str, which: str) -> None:
    assert answer(listed(case, which), without={family}) == expected(case, which)


@pytest.mark.parametrize("family", TIGHTENING)
@pytest.mark.parametrize(
    ("features", "chance"), [(ALL, 0.3), (SEVERAL_OF_A_KIND, 1.0)], ids=["all", "several of a kind"]
)
def test_a_tightening_family_changes_no_answer_of_drawn_problems(
    family: str, features: frozenset[str], chance: float
) -> None:
    drawn = [list_options(draw(seed, SMALL, features, chance=chance)) for seed in range(16)]
    changed = [n for n, option_list in enumerate(drawn) if answer(option_list) != answer(option_list, without={family})]
    assert changed == []


@pytest.mark.parametrize("family", TIGHTENING)
def test_a_tightening_family_has_rows_in_drawn_problems(family: str) -> None:
    drawn = (list_options(draw(seed, SMALL, SEVERAL_OF_A_KIND, chance=1.0)) for seed in range(30))
    assert sum(1 for option_list in drawn if list(CONSTRAINTS[family](variables(option_list)))) >= 5


NUMBER = r"\d+(?:\.\d+)?"


def words(of: Path) -> list[str]:
    """All files of a folder, with their names, as numbers and what stands between them."""
    files = sorted(of.iterdir())
    return [word for f in files for word in (f.name, *re.findall(rf"{NUMBER}|\D", f.read_text(encoding="utf-8")))]

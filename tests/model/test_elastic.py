"""What is lacking, in words: each family that can be the cause names its limit and by how much it is passed."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from allocator.model import build
from allocator.model.constraints import CONSTRAINTS, TIGHTENING
from allocator.model.elastic import Elastic, each_alone, parted, shortfalls
from allocator.model.keys import TogetherAt
from allocator.model.limits import KINDS_OF_BUNDLE, Limit, LimitKey, LimitKind, limit_of
from allocator.model.rows import Row
from allocator.options import LazyRows, list_options
from allocator.options.lazy_rows import WarmBundle
from allocator.problem import Bundling
from allocator.reading import read_problem
from tests.case_folders import problem_folder
from tests.model.cases import FAILS, FITS, NAMES, family_of, folder, problem, whole
from tests.solved import demonstration

LACKING = {
    "bank_current": "bank A of unit front at shelf: 0.1 A over 10 A",
    "unit_current": "unit front at shelf: 1 A over 11 A",
    "spread": "unit front at shelf: 0.5 A over 11.5 A",
    "feed_current": "heaviest feed of unit front at shelf: 6 A over 12 A",
    "feed_starts": "start of pump behind the feed fuse of unit front at shelf: 1 A over 30 A",
    "enough_outputs": "outputs of class plain on unit front at shelf: 1 output over 2",
    "spare_outputs": "outputs of class plain on unit front at shelf with 2 kept spare: 1 output over 0",
    "enough_contacts": "contacts for 1 to 2 mm2 of bulkhead wall: 1 wire over 1",
    "enough_studs": "studs of bulkhead wall: 1 feed over 1",
    "units_at_a_site": "units at shelf: 1 unit over 1",
    "survive_bulkhead": "function light after the failure of bulkhead wall: 1 load lost over 0",
}


@pytest.mark.parametrize("case", sorted(LACKING))
def test_what_is_lacking_is_said_with_its_limit(case: str) -> None:
    found = shortfalls(whole(problem(case, FAILS)))
    assert found is not None
    assert found.least
    assert [one.text for one in found.shortfalls] == [LACKING[case]]


@pytest.mark.parametrize("case", sorted(LACKING))
def test_where_a_layout_fits_nothing_is_lacking(case: str) -> None:
    found = shortfalls(whole(problem(case, FITS)))
    assert found is not None
    assert found.shortfalls == ()


def test_a_function_with_commas_in_its_name_is_told_as_itself() -> None:
    asked = read_problem(problem_folder("infeasible/function-unit/problem"))
    named = replace(asked.functions[0], name="light, left and right")
    other = replace(named, name="light", against=("bulkhead",))
    found = shortfalls(list_options(replace(asked, functions=(other, named))))
    assert found is not None
    (text,) = [one.text for one in found.shortfalls if "unit front" in one.text]
    assert text == "function light, left and right after the failure of unit front at shelf: 1 load lost over 1"


EASED = {
    "together": ("together",),
    "units_of_a_kind": ("units",),
    "units_at_a_site": (),
    "enough_outputs": (),
    "unit_current": (),
    "bank_current": (),
    "feed_current": (),
    "survive_source": (),
    "survive_unit": (),
    "survive_bank": (),
    "survive_bulkhead": ("lost", "lost by feed"),
    "enough_contacts": (),
    "enough_studs": (),
    "bundle_heat_rows": (
        "squares",
        "beside",
        "heat",
        "worst",
        "feedheat",
        "several",
        "present",
        "warm",
    ),
    "drops_between_warm_bundles": (),
    "as_stated": (),
    "cables_side_by_side": ("bundle", "sidebyside"),
    "feed_starts": ("starts", "carried", "stood"),
}
"""Families whose rows tie circuits together and are limits; the rows that only count for the others start so."""

STRUCTURE = {
    "each_load_once": "a load that nothing feeds alone is told by its nearest misses",
    "each_direct_load_once": "a direct load that has no option is told before there is a model",
    "only_where_fitted": "what being fitted means",
    "one_feed_each": "what being fitted means; a slot without a feed is none",
    "spare_outputs": "where spare outputs are counted: the rows on outputs are short of them; see `SpareLacking`",
    "spread": "what the worst spread is, which the rows on currents carry",
}
"""Families that are no limits, and why not."""


def counts_only(family: str, own: Row) -> bool:
    """Whether a row is no limit of its family, but says what the others count or what there is to choose from."""
    return own.name.startswith(tuple(f"{start}[" for start in EASED[family]))


def test_every_family_is_eased_or_says_why_not() -> None:
    assert {*EASED, *STRUCTURE, *TIGHTENING} == {*CONSTRAINTS}
    assert not {*EASED} & {*STRUCTURE}


IN_BUNDLES = {
    "bundle_heat_rows": ("bundle", "beside-cable"),
    "drops_between_warm_bundles": ("warm-drop",),
    "as_stated": ("bundle-table", "bundle-loading"),
    "cables_side_by_side": ("cables", "cables-feed"),
}
"""Families whose rows on bundles are lazy, and problems in which one of them cannot be kept."""


@pytest.mark.parametrize("family", sorted(IN_BUNDLES))
def test_every_row_on_a_watched_bundle_has_words(family: str) -> None:
    for case in IN_BUNDLES[family]:
        asked = read_problem(problem_folder(f"infeasible/{case}/problem"))
        every = range(len(asked.segments))
        heat = asked.margins.bundle is Bundling.HEAT
        squares = dict.fromkeys(every, (20.0, 40.0) if heat else ())
        warm = tuple((WarmBundle(e, 0, 61.0),) for e in every) if heat else ()
        first, none = dict.fromkeys(every, (0,)), dict.fromkeys(every, 0.0)
        lazy = LazyRows(squares, first, none, dict.fromkeys(every, 3), warm=warm)
        option_list = list_options(asked, lazy=lazy)
        model = build(option_list, without=TIGHTENING)
        named = 0
        for own in (own for name, own in model.rows if name == family):
            limit = limit_of(model.variables, own)
            if limit is None:
                assert counts_only(family, own), own.name
                continue
            assert limit.kind in KINDS_OF_BUNDLE.values()
            assert limit.amount >= 0.0
            named += 1
        assert named


def test_heat_of_a_bundle_is_told_by_the_exact_rule_however_coarse_the_rows() -> None:
    """The first stretch knows nothing of bundles, and the rows of the next are exact for its bundle alone."""
    asked = read_problem(problem_folder("infeasible/bundle/problem"))
    coarse = Elastic.of(list_options(asked)).stretch()
    assert coarse is not None
    assert [one.limit.kind for one in coarse.shortfalls] == ["bundle"]
    found = shortfalls(list_options(asked))
    assert found is not None
    assert [one.text for one in found.shortfalls] == ["bundle shelf - nose: 5.2 W/m over 13.6 W/m"]
    assert found.least
    assert found.option_list.lazy.segments == {1}


def test_a_bundle_is_named_in_its_worst_condition() -> None:
    asked = read_problem(problem_folder("infeasible/bundle/problem"))
    loads = tuple(replace(load, levels=(0.5, 1.0)) for load in asked.loads)
    found = shortfalls(list_options(replace(asked, conditions=("parked", "night driving"), loads=loads)))
    assert found is not None
    assert [one.text for one in found.shortfalls] == [
        "bundle shelf - nose in condition night driving: 5.2 W/m over 13.6 W/m"
    ]


@pytest.mark.parametrize("family", sorted({*EASED} - {*IN_BUNDLES}))
def test_every_row_of_a_limit_has_words(family: str) -> None:
    named = 0
    for case in (name for name in NAMES if family_of(name) == family):
        model = build(whole(problem(case, FAILS)), without=TIGHTENING)
        rows = parted(model.variables, [(own, row) for own, row in model.rows if own == family])
        for own in (row for _, row in rows if not isinstance(row.key, TogetherAt)):
            limit = limit_of(model.variables, own)
            if limit is None:
                assert counts_only(family, own), own.name
                continue
            assert limit.amount >= 0.0
            assert limit.name
            named += 1
    assert named


def test_no_row_of_a_demonstration_is_passed_over() -> None:
    model = build(list_options(demonstration("clinic-van")), without=TIGHTENING)
    for family, own in parted(model.variables, model.rows):
        if family in EASED and not counts_only(family, own) and not isinstance(own.key, TogetherAt):
            assert limit_of(model.variables, own) is not None, own.name


@pytest.mark.parametrize(
    ("case", "name"),
    [
        ("survive_source", "source second battery"),
        ("survive_unit", "unit second at bench"),
        ("survive_bank", "bank B of unit front at shelf"),
        ("survive_bulkhead", "bulkhead wall"),
    ],
)
def test_a_function_may_be_called_as_its_rows_are_not(case: str, name: str) -> None:
    """Commas, brackets and words of the engine's own in a name change nothing but the name."""
    named = problem(case, FAILS)
    word = "light, left and right],unit 0 [A"
    renamed = replace(named, functions=tuple(replace(f, name=word) for f in named.functions))
    found = shortfalls(whole(renamed))
    assert found is not None
    assert [one.limit.name for one in found.shortfalls] == [f"function {word} after the failure of {name}"]


@pytest.mark.parametrize(("case", "name"), [("bank_current", "A"), ("enough_contacts", "wall")])
def test_banks_and_bulkheads_may_be_called_so_too(case: str, name: str, tmp_path: Path) -> None:
    other = f"{name}, [0],1"
    for path in folder(case, FAILS).iterdir():
        quoted = path.read_text(encoding="utf-8").replace(f'"{name}"', f'"{other}"')
        (tmp_path / path.name).write_text(re.sub(rf",{name}\b", f',"{other}"', quoted), encoding="utf-8")
    found = shortfalls(whole(read_problem(tmp_path)))
    assert found is not None
    named = re.sub(rf"(bank|bulkhead) {name}\b", rf"\1 {other}", LACKING[case])
    assert [one.text for one in found.shortfalls] == [named]


def test_loads_of_a_word_that_no_unit_feeds_together_are_counted() -> None:
    """One lamp can be dimmed on one unit alone, two pumps reversed on another alone: the lamp is apart, not they."""
    asked = read_problem(problem_folder("infeasible/together-needs/problem"))
    found = shortfalls(list_options(asked))
    assert found is not None
    assert [one.text for one in found.shortfalls] == [
        "loads of together 'pair' on a different unit from the rest: 1 load over 0"
    ]
    lamp, pump = asked.loads
    three = (*(replace(lamp, name=f"lamp {n}") for n in range(3)), *(replace(pump, name=f"pump {n}") for n in range(2)))
    found = shortfalls(list_options(replace(asked, loads=three)))
    assert found is not None
    assert {one.limit.kind: one.amount for one in found.shortfalls} == {"together": 2.0, "outputs": 1.0}


def test_a_condition_is_named_where_there_are_several() -> None:
    limit = Limit(
        LimitKey(LimitKind.BANK, 0, "right"), "bank right of unit rear at shelf", 58.0, "A", 1000.0, "surgery"
    )
    assert limit.over(3.6) == "bank right of unit rear at shelf in condition surgery: 3.6 A over 58 A"


def test_a_load_that_nothing_feeds_is_left_aside() -> None:
    option_list = list_options(problem("each_load_once", FAILS))
    assert shortfalls(option_list) is None
    found = shortfalls(option_list, unfed=[0])
    assert found is not None
    assert found.shortfalls == ()


def test_a_first_choice_is_at_hand_however_short_the_time() -> None:
    """Each load alone, somewhere: the search begins from that, so that a stopped one has a reason to tell."""
    van = demonstration("clinic-van", bundles=False)
    narrow = tuple(replace(b, contacts=tuple(replace(c, count=1) for c in b.contacts)) for b in van.bulkheads)
    elastic = Elastic.of(list_options(replace(van, bulkheads=narrow)))
    values = each_alone(elastic.model)
    v, option_list = elastic.model.variables, elastic.model.option_list
    fed = {
        g: values[v.take[o.index].index]
        for o in option_list.options
        for g, _ in o.candidate.members
        if values[v.take[o.index].index]
    }
    assert fed == {group.index: float(len(group.loads)) for group in option_list.load_groups}
    stretch = elastic.stretch(time_limit_s=5.0)
    assert stretch is not None
    assert "contacts" in {one.limit.kind for one in stretch.shortfalls}

"""More ambient, length, current or wires stated for a bundle never give a lighter way to wire one load from one slot.

What is monotone, and so what is held here, is the copper of the cheapest pair of outgoing and return wire, on one
output: the least that any option of the load at the slot and class takes, infinite where there is none.

Not monotone, for good reasons, are:

* the size of one wire of the pair (a tighter drop may make the outgoing wire heavier and the return lighter);
* the size alone where there are several routes (a longer short cut sends the wire round by a cooler, longer way, in a
  lighter size and with more copper);
* the copper where the number of outputs changes: two thin wires carry more than one of twice the area. A test below
  shows that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from allocator.options import OptionList, list_options
from allocator.problem import Bundling, Line, Problem, Segment, Supply, WireTable
from tests.engine.draws import ALL, TINY, draw
from tests.problem.samples import load, output, problem, unit_type, wire

Harder = Callable[[Problem, float], Problem]
Key = tuple[str, ...]

FEATURES = ALL - {"parallel", "pins", "together", "functions"}
PROBED_MA = (1000, 4000, 12000, 30000)


def drawn(seed: int) -> Problem:
    """A draw whose first load is fed from the source, all others on one output each."""
    own = draw(seed, TINY, FEATURES)
    first, *others = own.loads
    if not first.needs and first.share is None:
        first = replace(first, supply=Supply.DIRECT)
    return replace(own, loads=(first, *others))


def least_copper_g(option_list: OptionList) -> dict[Key, float]:
    """Least copper of each single load by slot and class, each direct load, and each feed for some currents."""
    found: dict[Key, float] = {}

    def least(key: Key, grams: float) -> None:
        found[key] = min(grams, found.get(key, float("inf")))

    for option in option_list.options:
        if option.candidate.single:
            name, slot = (
                option_list.load_groups[option.candidate.members[0][0]].sample.name,
                option_list.slots[option.slot],
            )
            for n in option.classes:
                least(("load", name, slot.unit.name, slot.site, slot.classes[n].output.pins[0]), option.copper_g)
    for direct in option_list.direct:
        least(("direct", direct.load.name), direct.plan.copper_g)
    for feed in option_list.feeds:
        slot = option_list.slots[feed.slot]
        for current in PROBED_MA:
            if current <= min(feed.capacity_ma, slot.limit_ma):  # feeds for more than the unit gives are not listed
                least(("feed", slot.unit.name, slot.site, f"{current} mA"), feed.copper_g)
    return found


def lighter(base: OptionList, harder: OptionList) -> list[str]:
    """What takes less copper where it should not."""
    before, after = least_copper_g(base), least_copper_g(harder)
    return [
        f"{' '.join(key)}: {grams} g instead of {before.get(key)} g"
        for key, grams in after.items()
        if grams < before.get(key, float("inf"))
    ]


def hotter(own: Problem, share: float) -> Problem:
    """All of it hotter by up to 40 K."""
    more = 40.0 * share
    return replace(
        own,
        ambient_c=own.ambient_c + more,
        places=tuple(replace(p, ambient_c=p.ambient_c and p.ambient_c + more) for p in own.places),
        segments=tuple(replace(s, ambient_c=s.ambient_c and s.ambient_c + more) for s in own.segments),
    )


def longer(own: Problem, share: float) -> Problem:
    """All of it longer, up to three times."""
    by = 1.0 + 2.0 * share
    margins = own.margins
    stretched = replace(
        margins,
        tail_m=margins.tail_m * by,
        ground_lead_m=margins.ground_lead_m * by,
        route_factor=margins.route_factor * by,
    )
    return replace(
        own,
        segments=tuple(replace(s, length_m=s.length_m * by) for s in own.segments),
        runs=tuple(replace(r, length_m=r.length_m * by) for r in own.runs),
        margins=stretched,
    )


def stronger(own: Problem, share: float) -> Problem:
    """All loads drawing more, up to 1.4 times: below their stall."""
    by = 1.0 + 0.4 * share
    return replace(own, loads=tuple(replace(one, current_a=one.current_a * by) for one in own.loads))


def starting(own: Problem, share: float) -> Problem:
    """Loads starting with up to five times what they draw."""
    return replace(
        own,
        loads=tuple(
            replace(one, inrush_a=one.current_a * (1.0 + 4.0 * share), inrush_s=0.1, stall_a=None) for one in own.loads
        ),
    )


SEEDS = st.integers(0, 10**6)
SHARES = st.floats(0.01, 1.0)


@pytest.mark.parametrize("harder", [hotter, longer, stronger])
@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, share=SHARES)
def test_harder_is_never_lighter(harder: Harder, seed: int, share: float) -> None:
    own = drawn(seed)
    assert lighter(list_options(own), list_options(harder(own, share))) == []


@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, low=SHARES, high=SHARES)
def test_a_harder_start_is_never_lighter(seed: int, low: float, high: float) -> None:
    own, (low, high) = drawn(seed), sorted((low, high))
    assert lighter(list_options(starting(own, low)), list_options(starting(own, high))) == []


def by_table(own: Problem, wires: int, loading: float) -> Problem:
    """So many wires and so full a bundle stated for every segment."""
    return with_margins(own, bundle=Bundling.TABLE, bundle_wires=wires, bundle_loading=loading)


def with_margins(own: Problem, **changes: object) -> Problem:
    return replace(own, margins=replace(own.margins, **changes))


COLUMNS = (0.2, 0.4, 0.6, 0.8, 1.0)


@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, wires=st.tuples(st.integers(1, 30), st.integers(1, 30)), loading=st.sampled_from(COLUMNS))
def test_more_wires_stated_are_never_lighter(seed: int, wires: tuple[int, int], loading: float) -> None:
    own, (few, many) = drawn(seed), sorted(wires)
    base, harder = (list_options(by_table(own, n, loading)) for n in (few, many))
    assert lighter(base, harder) == []


@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, wires=st.integers(1, 30), loadings=st.tuples(st.sampled_from(COLUMNS), st.sampled_from(COLUMNS)))
def test_a_fuller_loading_stated_is_never_lighter(seed: int, wires: int, loadings: tuple[float, float]) -> None:
    own, (low, high) = drawn(seed), sorted(loadings)
    base, harder = (list_options(by_table(own, wires, loading)) for loading in (low, high))
    assert lighter(base, harder) == []


@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, factors=st.tuples(SHARES, SHARES), bundle=st.sampled_from((Bundling.HEAT, Bundling.TABLE)))
def test_a_tighter_conduit_is_never_lighter(seed: int, factors: tuple[float, float], bundle: Bundling) -> None:
    own, (tight, wide) = drawn(seed), sorted(factors)
    own = by_table(own, 6, 0.6) if bundle is Bundling.TABLE else with_margins(own, bundle=bundle)
    base, harder = (
        list_options(replace(own, segments=tuple(replace(s, factor=f) for s in own.segments))) for f in (wide, tight)
    )
    assert lighter(base, harder) == []


@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, line=st.sampled_from(Line))
def test_a_closed_segment_is_never_lighter(seed: int, line: Line) -> None:
    # without measured runs: such a wire follows the shortest way that is open, as long as measured whichever that is
    own = replace(drawn(seed), runs=())
    closed = tuple(replace(s, only=line) if n % 2 else s for n, s in enumerate(own.segments))
    # as if each lay alone: a cable has one neighbour less where no wire may pass
    base, harder = (list_options(with_margins(p, bundle=Bundling.NONE)) for p in (own, replace(own, segments=closed)))
    assert lighter(base, harder) == []


@pytest.mark.parametrize("harder", [hotter, longer, stronger])
@settings(deadline=None, max_examples=40)
@given(seed=SEEDS, share=SHARES, wires=st.integers(2, 12), loading=st.sampled_from(COLUMNS))
def test_harder_is_never_lighter_by_the_table(
    harder: Harder, seed: int, share: float, wires: int, loading: float
) -> None:
    own = by_table(drawn(seed), wires, loading)
    assert lighter(list_options(own), list_options(harder(own, share))) == []


def test_two_outputs_for_more_current_may_take_less_copper() -> None:
    """16 A go through one output of 20 A and 2.5 mm2; 16.1 A through two, each with a trip of 11 A and 0.75 mm2."""
    grams = []
    for current in (16.0, 16.1):
        own = problem(
            loads=(load(current_a=current, max_drop=0.5),),
            wires=WireTable(name="two sizes", wires=(wire(0.75), wire(2.5))),
            unit_types=(unit_type(output(continuous_a=20.0, wire_mm2=(0.5, 4.0), parallel=2)),),
        )
        (option,) = list_options(own).options
        grams.append((option.outputs, option.copper_g))
    (one, more), (two, less) = grams
    assert (one, two) == (1, 2)
    assert less < more


def test_in_a_bundle_the_next_trip_never_takes_less_copper() -> None:
    """4 A sit behind 5 A, 4.01 A behind 6 A: did the drop go by the trip that is set, they would count as cooler."""
    grams = []
    for current in (4.0, 4.01):
        own = problem(
            loads=(load(current_a=current, max_drop=0.03),),
            segments=(
                Segment(start="box", end="bench", length_m=1.0),
                Segment(start="bench", end="door", length_m=1.35),
            ),
            wires=WireTable(name="two sizes", wires=(wire(0.5), wire(0.75))),
        )
        grams.append(min(option.copper_g for option in list_options(by_table(own, 2, 0.6)).options))
    assert grams[0] <= grams[1]

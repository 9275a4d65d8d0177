"""Ways out where a bundle gets too warm, or too many lines lie in a segment: heavier wire is in the model already."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain

from allocator.changes.change import ProblemChange
from allocator.changes.of_loads import direct, ground_stud, may_be_direct
from allocator.changes.of_segments import insulated, second_way, stated_loading, stated_wires
from allocator.infeasibility.knobs import up_a
from allocator.model.bundle_excess import Rule
from allocator.model.bundle_limits import feed_beside_others
from allocator.model.elastic import Shortfall, Stretch
from allocator.model.limits import KINDS_OF_BUNDLE
from allocator.problem import CHASSIS, Load, Problem
from allocator.wiring import of_class
from allocator.wiring.bundles import LOADINGS

LARGEST = 3
"""Loads, the largest first, that are tried to be fed from the source; and places that are tried to have a stud."""
STUD_STEP_A = 5.0

Way = Iterator[tuple[ProblemChange, ...]]


def cooled(problem: Problem, stretch: Stretch) -> Iterator[Way]:
    """Kinds of change that help where limits on bundles are passed; each kind is the changes to try, one by one."""
    lacking = [one for one in stretch.shortfalls if one.limit.kind in KINDS_OF_BUNDLE.values()]
    feeds = (feed_beside_others(one.limit, stretch.option_list, stretch.solution) for one in stretch.shortfalls)
    lazy_segments = stretch.option_list.lazy.cables
    shared = Counter(e for feed in feeds if feed is not None for e in feed.route.segments if e in lazy_segments)
    segments = tuple(dict.fromkeys([*(_segment(one) for one in lacking), *(e for e, _ in shared.most_common())]))
    if not segments:
        return
    loads = tuple(_loads_through(stretch, segments))
    yield _restated(problem, lacking)
    yield _insulated(problem, _of(lacking, Rule.HEAT, Rule.BESIDE_CABLE))
    yield _from_the_source(loads)
    yield _with_studs(problem, loads)
    yield _each_and_all(second_way(problem, e) for e in segments)


def _segment(one: Shortfall) -> int:
    number = one.limit.key.at
    assert isinstance(number, int)
    return number


def _of(lacking: Sequence[Shortfall], *rules: Rule) -> tuple[int, ...]:
    """Segments in which one of some rules is broken."""
    return tuple(dict.fromkeys(_segment(one) for one in lacking if _is(one, *rules)))


def _is(one: Shortfall, *rules: Rule) -> bool:
    return one.limit.kind in {KINDS_OF_BUNDLE[rule] for rule in rules}


def _each_and_all(changes: Iterable[ProblemChange]) -> Way:
    """Each change by itself, then all of them."""
    every = tuple(changes)
    yield from ((change,) for change in every[:LARGEST])
    if len(every) > 1:
        yield every


def _restated(problem: Problem, lacking: Sequence[Shortfall]) -> Way:
    """By the table: as many wires stated as there are, and the next columns of loading, which leave less to each."""
    wires = {_segment(one): round(one.limit.amount + one.amount) for one in lacking if _is(one, Rule.WIRES)}
    more = tuple(stated_wires(problem, e, count) for e, count in wires.items())
    loaded = _of(lacking, Rule.LOADING)
    above = [[share for share in LOADINGS if share > _stated_loading(problem, e)] for e in loaded]
    if more and not loaded:
        yield more
    for step in range(min(map(len, above), default=0)):
        yield (*more, *(stated_loading(problem, e, own[step]) for e, own in zip(loaded, above, strict=True)))


def _stated_loading(problem: Problem, e: int) -> float:
    return problem.segments[e].loading or problem.margins.bundle_loading or 1.0


def _insulated(problem: Problem, segments: Sequence[int]) -> Way:
    """The next insulation class of the wire table in segments that get too warm, then the one after."""
    steps: list[list[ProblemChange]] = []
    for e in segments:
        asked = max(problem.wire_rules.insulation_c, problem.segments[e].insulation_c or 0.0)
        lowest = [wire.insulation_c for wire in of_class(problem.wires, asked)[:1]]
        better = sorted({wire.insulation_c for wire in problem.wires.wires if lowest and wire.insulation_c > lowest[0]})
        steps.append([insulated(problem, e, class_c) for class_c in better])
    for step in range(max(map(len, steps), default=0)):
        yield from _each_and_all(own[step] for own in steps if len(own) > step)


def _from_the_source(loads: Sequence[Load]) -> Way:
    """A large load fed from the source: its cable need not lie in the bundle."""
    for load in [one for one in loads if may_be_direct(one)][:LARGEST]:
        yield (direct(load),)


def _with_studs(problem: Problem, loads: Sequence[Load]) -> Way:
    """A stud where large loads sit: their returns need not lie in the bundle."""
    if not any(place.stud_a for place in problem.places):
        return
    returning = [one for one in loads if one.return_to == CHASSIS]
    without = dict.fromkeys(one.place for one in returning if not problem.place[one.place].stud_a)
    for place in list(without)[:LARGEST]:
        at_place = (one for one in problem.loads if one.place == place and one.return_to == CHASSIS)
        yield (ground_stud(problem, place, up_a(sum(one.full_current_a for one in at_place), STUD_STEP_A)),)


def _loads_through(stretch: Stretch, segments: Sequence[int]) -> list[Load]:
    """Loads that units feed by wires through segments, the largest first."""
    option_list, passing = stretch.option_list, {*segments}
    fed: Counter[int] = Counter()
    for o, times in stretch.solution.options:
        option = option_list.options[o]
        if passing & {e for own in option.conductors for e in own.route.segments}:
            fed.update({group: n * times for group, n in option.candidate.members})
    loads = chain.from_iterable(option_list.load_groups[group].loads[:n] for group, n in fed.items())
    return sorted(loads, key=lambda load: (-load.full_current_a, load.name))

"""What may lie in one segment, variable by variable, and figures over all of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from allocator.model.laid_line import LaidLine, of_conductor, of_core, of_feed
from allocator.model.rows import Row, Variable, at_least, at_most
from allocator.model.variables import Term, Variables, most_often
from allocator.options import Option, WiringPlan
from allocator.wiring.bundle_heat import square_mm2


@dataclass(frozen=True, slots=True)
class Taker:
    """What may lie in a segment by one variable (None: it lies there).

    ``lines`` is what one of it lays there, ``most`` how often it may be taken. Of a ``group`` as many are taken as
    ``choices``, each counted ``weight`` times.
    """

    variable: Variable | None
    lines: tuple[LaidLine, ...]
    group: tuple[str, int | str]
    most: int = 1
    weight: int = 1
    choices: int = 1
    slot: int | None = None

    def add_up(self, figure: Callable[[LaidLine], float]) -> float:
        """A figure of all its lines together."""
        return sum(one.count * figure(one) for one in self.lines)

    @property
    def alike(self) -> tuple[object, ...]:
        """What is the same of takers that lay the same wires under the same currents."""
        return tuple((one.wire, one.currents_a) for one in self.lines)

    @property
    def squares_mm2(self) -> float:
        """Sum of the squared diameters."""
        return self.add_up(lambda one: square_mm2(one.wire.wire))


def takers(v: Variables, e: int, *, beside: bool) -> list[Taker]:
    """All that may lie in the bundle of a segment, or beside it."""
    option_list, problem = v.option_list, v.option_list.problem
    found: list[Taker] = []

    def here(laid: Iterable[LaidLine]) -> tuple[LaidLine, ...]:
        return tuple(one for one in laid if one.beside is beside)

    def of(plan: WiringPlan) -> tuple[LaidLine, ...]:
        return here(of_conductor(problem, own) for own in plan.conductors if e in own.route.segments)

    for option in option_list.options:
        lines = of(option.plan)
        if lines:
            member, n, loads = tightest(v, option)
            group = ("load", member)
            found.append(Taker(v.take[option.index], lines, group, most_often(option_list, option), n, loads))
    for direct in option_list.direct:
        lines = of(direct.plan)
        if lines:
            found.append(Taker(v.direct[direct.index], lines, ("direct", direct.load.name)))
    for feed in option_list.feeds:
        lines = here([of_feed(problem, feed)] if e in feed.route.segments else [])
        if lines:
            found.append(Taker(v.feed[feed.index], lines, ("feed", feed.slot), slot=feed.slot))
    for n, core in enumerate(option_list.given):
        lines = here([of_core(problem, core)] if e in core.route.segments else [])
        if lines:
            found.append(Taker(None, lines, ("given", n)))
    return found


def tightest(v: Variables, option: Option) -> tuple[int, int, int]:
    """Of the groups that an option feeds the one of fewest loads: its number, how many are fed, how many there are."""
    members = ((g, n, len(v.option_list.load_groups[g].loads)) for g, n in option.candidate.members)
    return min(members, key=lambda member: (member[2], member[0]))


def alternatives(found: Sequence[Taker]) -> dict[tuple[str, int | str], list[Taker]]:
    """Takers by group."""
    groups: dict[tuple[str, int | str], list[Taker]] = {}
    for taker in found:
        groups.setdefault(taker.group, []).append(taker)
    return groups


def most_of(found: Sequence[Taker], figure: Callable[[Taker], float]) -> float:
    """The most that a figure may come to over all that is taken: of each group the greatest, as often as allowed."""
    return sum(
        max(figure(own) / own.weight for own in group) * group[0].choices for group in alternatives(found).values()
    )


def terms_of(found: Sequence[Taker], figure: Callable[[Taker], float]) -> tuple[list[Term], float]:
    """A figure over all that is taken: terms of the model, and what lies there whatever is chosen."""
    terms = [(own.variable, figure(own)) for own in found if own.variable is not None]
    return terms, sum(figure(own) for own in found if own.variable is None)


def present(name: str, some: Variable, found: Sequence[Taker]) -> Iterator[Row]:
    """``sum_o n[o] x[o] <= n some`` per group: 1 where anything is taken."""
    for n, group in enumerate(alternatives(found).values()):
        terms = [(own.variable, float(own.weight)) for own in group if own.variable is not None]
        if terms:
            yield at_most(f"{name},{n}", [*terms, (some, -float(group[0].choices))], 0)
        else:
            yield at_least(f"{name},{n}", [(some, 1.0)], 1)


def least_of(v: Variables, found: Sequence[Taker], figure: Callable[[Taker], float]) -> float:
    """The least that a figure comes to: what lies there anyway, and loads none of whose options avoids the segment."""
    options = [0] * len(v.option_list.load_groups)
    for option in v.option_list.options:
        for member, _ in option.candidate.members:
            options[member] += 1
    least = 0.0
    for (kind, number), group in alternatives(found).items():
        ever = kind == "load" and group[0].choices == 1 and len(group) == options[int(number)]
        if ever or group[0].variable is None:
            least += min(map(figure, group))
    return least

"""Why a load sits where it sits: its options by copper, what other places come to, what stands against them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from allocator.changes.of_loads import free_of_unit
from allocator.clock import TimeUpError
from allocator.evaluation.prepare import prepare
from allocator.evaluation.tolerance import CLOSE_G
from allocator.explaining.explained_layout import ExplainedLayout
from allocator.explaining.forcing import Force, Forced, forced, start_for
from allocator.explaining.swapping import Members
from allocator.layout import Circuit
from allocator.notebook import shown
from allocator.options import LazyRows, Option
from allocator.options.nearest_refusals import nearest_misses
from allocator.search.stopwatch import Stopwatch
from allocator.table import JOIN, Table, columns_of, keyed, table_of

if TYPE_CHECKING:
    from pandas import DataFrame

CLOSE = 0.1
"""Share of what a layout weighs more with a load elsewhere, to which that is known: the last grams take minutes."""


ELSEWHERE_S = 40.0
"""Seconds for all layouts with the load elsewhere where no limit is given: on a large machine each may take minutes."""


@dataclass(frozen=True, slots=True)
class Place:
    """The lightest way to feed a load by itself from outputs of a unit at a site.

    ``fitted``: the unit sits there in the layout. ``against`` says of a lighter one than the one taken, or of the
    nearest one of another unit, why it is not taken.
    """

    unit: str
    site: str
    output_class: str
    outputs: int
    copper_g: float
    drop_percent: float
    fitted: bool
    taken: bool
    against: str = ""


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why a load is fed as it is. ``copper_g`` is that of its circuit, ``objective_g`` that of the whole layout.

    ``elsewhere`` holds every other unit that could feed it and every other site of its own, the best first;
    ``refused`` (unit, why) those that cannot. ``untried`` are left because the time was up.
    """

    load: str
    circuit: Circuit
    site: str
    copper_g: float
    objective_g: float
    proven: bool
    pinned: bool
    places: tuple[Place, ...]
    elsewhere: tuple[Forced, ...]
    refused: tuple[tuple[str, str], ...]
    untried: tuple[Force, ...] = ()

    @property
    def known_closely(self) -> bool:
        """Whether the extra weight is known to a tenth, or that there is no layout, for every place that was tried."""
        return all(one.within(CLOSE) for one in self.elsewhere)

    def _repr_html_(self) -> str:
        fed = f"unit {self.circuit.unit} at {self.site}, output {', '.join(self.circuit.pins)}"
        facts = [("fed by", fed), ("copper of its circuit, g", self.copper_g), ("objective, g", self.objective_g)]
        return shown(f"Why {self.load} is fed as it is", facts, self.table())

    def table(self) -> Table:
        """The options of the load, one row each, in order of copper."""
        return table_of(columns_of(Place), self.places)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()

    def elsewhere_frame(self) -> DataFrame:
        """What the whole comes to with the load forced elsewhere, one row a place; grams."""
        columns = keyed("unit", "site", "status", "objective_g", "more_g", "at_least_g", "moved", "against")
        rows = tuple(
            (f.force.unit, f.site or f.force.site, f.status, f.objective_g, f.more_g, f.at_least_g, JOIN.join(f.moved),
             f.against)
            for f in self.elsewhere
        )  # fmt: skip
        return Table(columns=columns, rows=rows).frame()


def explained(
    explained_layout: ExplainedLayout, load: str, stopwatch: Stopwatch, *, exact: bool = False
) -> Explanation:
    """Why one load of a layout is fed as it is. The extra weight elsewhere is known to a tenth, or exactly.

    Parameters
    ----------
    explained_layout
        The layout with its options and model.
    load
        Name of the load.
    stopwatch
        The time that is left. Without a limit there are ``ELSEWHERE_S`` for what other places come to, unless that is
        to be exact.
    exact
        Whether each layout with the load elsewhere is proven in full; else its extra weight is known to within
        a tenth.
    """
    pinned = explained_layout.problem.load[load].unit is not None
    if pinned:
        # what other places would come to is asked without the pin
        free = free_of_unit(explained_layout.problem, load).apply(explained_layout.problem)
        explained_layout = ExplainedLayout.of(prepare(free, explained_layout.layout))
    circuit = next(c for c in explained_layout.layout.circuits if load in c.loads)
    members = ((explained_layout.group_of(load), 1),)
    options = [o for o in explained_layout.option_list.options if o.candidate.members == members]
    places = _places(explained_layout, members, circuit, options)
    found: list[Forced] = []
    refused: list[tuple[str, str]] = []
    untried: list[Force] = []
    forces = list(_forces(explained_layout, load, circuit, options))
    if not exact:
        stopwatch = stopwatch.unless_limited(ELSEWHERE_S)
    for number, (force, own) in enumerate(forces, start=1):
        if not own:
            refused.append((force.unit, _refusal(explained_layout, load, force.unit)))
            continue
        start, lazy = None, LazyRows()
        if force.site is None:
            start = start_for(explained_layout.layout, explained_layout.option_list, load, own, force.unit)
            # where the units stay, cables crowd where they do in the layout; elsewhere these rows would only hinder
            lazy = LazyRows(cables=explained_layout.option_list.lazy.cables)
        try:
            stopwatch.tell(f"{number} of {len(forces)}: the whole with {force.text}")
            result = forced(
                explained_layout.problem,
                explained_layout.layout,
                force,
                start,
                lazy,
                stopwatch.share_s(1.0 / (len(forces) - number + 1)),
                0.0 if exact else CLOSE,
            )
        except TimeUpError:
            untried.append(force)
            continue
        if force.site is None:
            best = min(own, key=lambda o: (o.slot not in explained_layout.slots, o.copper_g))
            result = replace(result, against=explained_layout.against(members, circuit, best).text)
        found.append(result)
    rank = sorted(found, key=lambda f: (f.objective_g is None, f.objective_g or 0.0))
    return Explanation(
        load=load,
        circuit=circuit,
        site=explained_layout.site_of(circuit.unit),
        copper_g=explained_layout.copper_g(circuit),
        objective_g=explained_layout.layout.objective_g or 0.0,
        proven=explained_layout.proven,
        pinned=pinned,
        places=places,
        elsewhere=tuple(rank),
        refused=tuple(refused),
        untried=tuple(untried),
    )


def _places(
    explained_layout: ExplainedLayout, members: Members, circuit: Circuit, options: list[Option]
) -> tuple[Place, ...]:
    """The lightest option for each class of outputs at each place, and the one taken, by copper."""
    taken = explained_layout.option_of(circuit) if len(circuit.loads) == 1 else None
    best: dict[tuple[int, str, int, float], tuple[Option, list[str]]] = {}
    seen: set[tuple[int, str, str]] = set()
    for option in sorted(
        options, key=lambda o: (o.copper_g, o is not taken, o.slot not in explained_layout.slots, o.index)
    ):
        slot = explained_layout.option_list.slots[option.slot]
        for name in dict.fromkeys(slot.classes[q].output.name for q in sorted(option.classes)):
            if (slot.unit_group, slot.site, name) not in seen or option is taken:
                seen.add((slot.unit_group, slot.site, name))
                key = (slot.unit_group, slot.site, option.outputs, option.copper_g)
                names = best.setdefault(key, (option, []))[1]
                names.extend({name} - {*names})
    lightest = {id(option) for option in _lightest_fitted(explained_layout, [option for option, _ in best.values()])}
    found = []
    for option, names in best.values():
        same = taken is not None and option.slot == taken.slot and circuit.output_class in names
        same = same and abs(option.copper_g - explained_layout.copper_g(circuit)) <= CLOSE_G
        lighter = len(circuit.loads) == 1 and option.copper_g < explained_layout.copper_g(circuit) - CLOSE_G
        telling = lighter or (len(circuit.loads) > 1 and id(option) in lightest)
        telling = telling and not same and option.slot in explained_layout.slots
        found.append(
            _place(
                explained_layout,
                option,
                names,
                circuit,
                same,
                explained_layout.against(members, circuit, option).text if telling else "",
            )
        )
    return tuple(found)


def _lightest_fitted(explained_layout: ExplainedLayout, options: list[Option]) -> list[Option]:
    """The first option, and so the lightest, at each fitted slot."""
    first: dict[int, Option] = {}
    for option in options:
        if option.slot in explained_layout.slots:
            first.setdefault(option.slot, option)
    return list(first.values())


def _place(
    explained_layout: ExplainedLayout, option: Option, names: list[str], circuit: Circuit, taken: bool, against: str
) -> Place:
    return Place(
        unit=circuit.unit if taken else explained_layout.unit_at(option.slot),
        site=explained_layout.option_list.slots[option.slot].site,
        output_class=", ".join(names),
        outputs=option.outputs,
        copper_g=option.copper_g,
        drop_percent=round(100.0 * option.plan.drop_v / explained_layout.problem.running_v, 3),
        fitted=option.slot in explained_layout.slots,
        taken=taken,
        against=against,
    )


def _forces(
    explained_layout: ExplainedLayout, load: str, circuit: Circuit, options: list[Option]
) -> Iterator[tuple[Force, list[Option]]]:
    """Every other unit, one of each kind, those of least copper first; then the other sites of its own unit."""
    slots, kinds = explained_layout.option_list.slots, explained_layout.option_list.unit_groups
    own_group = next(n for n, unit_group in enumerate(kinds) if circuit.unit in {u.name for u in unit_group.units})
    by_kind: list[tuple[float, str, list[Option]]] = []
    for number, unit_group in enumerate(kinds):
        if number != own_group:
            own = [o for o in options if slots[o.slot].unit_group == number]
            fitted = [u.name for u in unit_group.units if u.name in explained_layout.fitted]
            name = fitted[0] if fitted else unit_group.sample.name
            by_kind.append((min((o.copper_g for o in own), default=float("inf")), name, own))
    for _, name, own in sorted(by_kind, key=lambda x: (x[0], x[1])):
        yield Force(load, name), own
    here = explained_layout.site_of(circuit.unit)
    for site in sorted({s.site for s in slots if s.unit_group == own_group and s.site != here}):
        at = [o for o in options if slots[o.slot].unit_group == own_group and slots[o.slot].site == site]
        if at:
            yield Force(load, circuit.unit, site), at


def _refusal(explained_layout: ExplainedLayout, load: str, unit: str) -> str:
    """Why no output of a unit can feed a load."""
    unit_group = next(
        n for n, own in enumerate(explained_layout.option_list.unit_groups) if unit in {u.name for u in own.units}
    )
    slots = {s.index for s in explained_layout.option_list.slots if s.unit_group == unit_group}
    if not slots:
        return "it cannot be mounted anywhere"
    group = explained_layout.option_list.load_groups[explained_layout.group_of(load)]
    misses = nearest_misses(group, explained_layout.option_list.slots, explained_layout.option_list.refusals, slots)
    return "; ".join(miss.text for miss in misses) or "none of its outputs will do"

"""Why a load sits where it sits: its options by copper, what other places come to, what stands against them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from allocator.advising.basis import CLOSE_G, Basis
from allocator.advising.changed_words import free_of_unit
from allocator.advising.forcing import Force, Forced, forced, start_for
from allocator.advising.stopwatch import Stopwatch
from allocator.advising.swapping import Members
from allocator.clock import TimeUpError
from allocator.layout import Circuit
from allocator.notebook import shown
from allocator.pricing import Option
from allocator.pricing.misses import nearest_misses
from allocator.table import JOIN, Table, columns_of, keyed, table_of

if TYPE_CHECKING:
    from pandas import DataFrame

CLOSE = 0.1
"""Share of what a layout weighs more with a load elsewhere, to which that is known: the last grams take minutes."""


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


def explained(basis: Basis, load: str, watch: Stopwatch, *, exact: bool = False) -> Explanation:
    """Why one load of a layout is fed as it is. What other places weigh more is told to a tenth, or exactly."""
    pinned = basis.problem.load[load].unit is not None
    if pinned:
        # what other places would come to is asked without the pin
        basis = Basis.of(free_of_unit(basis.problem, load).apply(basis.problem), basis.layout)
    circuit = next(c for c in basis.layout.circuits if load in c.loads)
    members = ((basis.group_of(load), 1),)
    options = [o for o in basis.pricing.options if o.candidate.members == members]
    places = _places(basis, members, circuit, options)
    found: list[Forced] = []
    refused: list[tuple[str, str]] = []
    untried: list[Force] = []
    forces = list(_forces(basis, load, circuit, options))
    for number, (force, own) in enumerate(forces, start=1):
        if not own:
            refused.append((force.unit, _refusal(basis, load, force.unit)))
            continue
        start = start_for(basis.layout, basis.pricing, load, own, force.unit) if force.site is None else None
        try:
            watch.tell(f"{number} of {len(forces)}: the whole with {force.text}")
            result = forced(basis.problem, basis.layout, force, start, watch.left_s, 0.0 if exact else CLOSE)
        except TimeUpError:
            untried.append(force)
            continue
        if force.site is None:
            best = min(own, key=lambda o: (o.slot not in basis.slots, o.copper_g))
            result = replace(result, against=basis.against(members, circuit, best).text)
        found.append(result)
    rank = sorted(found, key=lambda f: (f.objective_g is None, f.objective_g or 0.0))
    return Explanation(
        load=load,
        circuit=circuit,
        site=basis.site_of(circuit.unit),
        copper_g=basis.copper_g(circuit),
        objective_g=basis.layout.objective_g or 0.0,
        proven=basis.proven,
        pinned=pinned,
        places=places,
        elsewhere=tuple(rank),
        refused=tuple(refused),
        untried=tuple(untried),
    )


def _places(basis: Basis, members: Members, circuit: Circuit, options: list[Option]) -> tuple[Place, ...]:
    """The lightest option for each class of outputs at each place, and the one taken, by copper."""
    taken = basis.option_of(circuit) if len(circuit.loads) == 1 else None
    best: dict[tuple[int, str, int, float], tuple[Option, list[str]]] = {}
    seen: set[tuple[int, str, str]] = set()
    for option in sorted(options, key=lambda o: (o.copper_g, o is not taken, o.slot not in basis.slots, o.index)):
        slot = basis.pricing.slots[option.slot]
        for name in dict.fromkeys(slot.classes[q].output.name for q in sorted(option.classes)):
            if (slot.kind, slot.site, name) not in seen or option is taken:
                seen.add((slot.kind, slot.site, name))
                key = (slot.kind, slot.site, option.outputs, option.copper_g)
                names = best.setdefault(key, (option, []))[1]
                names.extend({name} - {*names})
    lightest = {id(option) for option in _lightest_fitted(basis, [option for option, _ in best.values()])}
    found = []
    for option, names in best.values():
        same = taken is not None and option.slot == taken.slot and circuit.output_class in names
        same = same and abs(option.copper_g - basis.copper_g(circuit)) <= CLOSE_G
        lighter = len(circuit.loads) == 1 and option.copper_g < basis.copper_g(circuit) - CLOSE_G
        telling = lighter or (len(circuit.loads) > 1 and id(option) in lightest)
        telling = telling and not same and option.slot in basis.slots
        found.append(
            _place(basis, option, names, circuit, same, basis.against(members, circuit, option).text if telling else "")
        )
    return tuple(found)


def _lightest_fitted(basis: Basis, options: list[Option]) -> list[Option]:
    """The first option, and so the lightest, at each fitted slot."""
    first: dict[int, Option] = {}
    for option in options:
        if option.slot in basis.slots:
            first.setdefault(option.slot, option)
    return list(first.values())


def _place(basis: Basis, option: Option, names: list[str], circuit: Circuit, taken: bool, against: str) -> Place:
    return Place(
        unit=circuit.unit if taken else basis.unit_at(option.slot),
        site=basis.pricing.slots[option.slot].site,
        output_class=", ".join(names),
        outputs=option.outputs,
        copper_g=option.copper_g,
        drop_percent=round(100.0 * option.plan.drop_v / basis.problem.running_v, 3),
        fitted=option.slot in basis.slots,
        taken=taken,
        against=against,
    )


def _forces(basis: Basis, load: str, circuit: Circuit, options: list[Option]) -> Iterator[tuple[Force, list[Option]]]:
    """Every other unit, one of each kind, those of least copper first; then the other sites of its own unit."""
    slots, kinds = basis.pricing.slots, basis.pricing.kinds
    own_kind = next(n for n, kind in enumerate(kinds) if circuit.unit in {u.name for u in kind.units})
    by_kind: list[tuple[float, str, list[Option]]] = []
    for number, kind in enumerate(kinds):
        if number != own_kind:
            own = [o for o in options if slots[o.slot].kind == number]
            fitted = [u.name for u in kind.units if u.name in basis.fitted]
            name = fitted[0] if fitted else kind.sample.name
            by_kind.append((min((o.copper_g for o in own), default=float("inf")), name, own))
    for _, name, own in sorted(by_kind, key=lambda x: (x[0], x[1])):
        yield Force(load, name), own
    here = basis.site_of(circuit.unit)
    for site in sorted({s.site for s in slots if s.kind == own_kind and s.site != here}):
        at = [o for o in options if slots[o.slot].kind == own_kind and slots[o.slot].site == site]
        if at:
            yield Force(load, circuit.unit, site), at


def _refusal(basis: Basis, load: str, unit: str) -> str:
    """Why no output of a unit can feed a load."""
    kind = next(n for n, own in enumerate(basis.pricing.kinds) if unit in {u.name for u in own.units})
    slots = {s.index for s in basis.pricing.slots if s.kind == kind}
    if not slots:
        return "it can be mounted nowhere"
    group = basis.pricing.alike[basis.group_of(load)]
    misses = nearest_misses(group, basis.pricing.slots, basis.pricing.refusals, slots)
    return "; ".join(misses) or "no output of it will do"

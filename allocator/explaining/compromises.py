"""The costliest compromises of a layout: circuits that could be had for much less copper somewhere else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from allocator.evaluation.tolerance import CLOSE_G
from allocator.explaining.explained_layout import ExplainedLayout
from allocator.layout import Circuit, Layout
from allocator.notebook import shown
from allocator.options import Option
from allocator.table import Table, keyed

if TYPE_CHECKING:
    from pandas import DataFrame

MOST = 10


@dataclass(frozen=True, slots=True)
class Compromise:
    """A circuit that weighs ``over_g`` more than the very same loads would at ``unit`` and ``site``; why, ``against``.

    ``nearest_g`` is the copper that they would take there.
    """

    circuit: Circuit
    site: str
    copper_g: float
    nearest_unit: str
    nearest_site: str
    nearest_g: float
    over_g: float
    against: str


@dataclass(frozen=True, slots=True)
class Compromises:
    """The costliest compromises of a layout, the costliest first; ``more`` are left out, with ``more_g`` in all."""

    layout: Layout
    found: tuple[Compromise, ...]
    more: int
    more_g: float

    def _repr_html_(self) -> str:
        facts = [("left out", self.more), ("what these weigh more, g", self.more_g)]
        return shown("The costliest compromises", facts, self.table())

    def table(self) -> Table:
        """One row a compromise; grams of copper."""
        keys = (
            "circuit", "unit", "site", "copper_g", "nearest_unit", "nearest_site", "nearest_g", "over_g", "against",
        )  # fmt: skip
        rows = tuple(
            (c.circuit.name, c.circuit.unit, c.site, c.copper_g, c.nearest_unit, c.nearest_site, c.nearest_g, c.over_g,
             c.against)
            for c in self.found
        )  # fmt: skip
        return Table(columns=keyed(*keys), rows=rows)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()


def compromises(explained_layout: ExplainedLayout, most: int = MOST) -> Compromises:
    """Circuits of a layout whose own lightest option is lighter than the one taken, the costliest first."""
    lightest: dict[object, Option] = {}
    at_hand: dict[object, Option] = {}
    for option in sorted(
        explained_layout.option_list.options, key=lambda o: (o.copper_g, o.slot not in explained_layout.slots, o.index)
    ):
        lightest.setdefault(option.candidate.members, option)
        if option.slot in explained_layout.slots:
            at_hand.setdefault(option.candidate.members, option)
    costlier: list[tuple[float, Circuit, Option, Option]] = []
    for circuit in explained_layout.layout.circuits:
        taken = explained_layout.option_of(circuit)
        if taken is not None:
            best = lightest[taken.candidate.members]
            over = explained_layout.copper_g(circuit) - best.copper_g
            if over > CLOSE_G:
                costlier.append((over, circuit, best, at_hand[taken.candidate.members]))
    costlier.sort(key=lambda entry: (-entry[0], entry[1].name))
    found = tuple(_compromise(explained_layout, *entry) for entry in costlier[:most])
    rest = costlier[most:]
    return Compromises(explained_layout.layout, found, len(rest), round(sum(entry[0] for entry in rest), 3))


def _compromise(
    explained_layout: ExplainedLayout, over_g: float, circuit: Circuit, best: Option, at_hand: Option
) -> Compromise:
    """Why not the lightest option; where its unit sits elsewhere, against the lightest at hand too."""
    slot = explained_layout.option_list.slots[best.slot]
    against = explained_layout.against(best.candidate.members, circuit, best).text
    if best.slot not in explained_layout.slots and at_hand.copper_g < explained_layout.copper_g(circuit) - CLOSE_G:
        place = (
            f"unit {explained_layout.unit_at(at_hand.slot)} at {explained_layout.option_list.slots[at_hand.slot].site}"
        )
        other = explained_layout.against(at_hand.candidate.members, circuit, at_hand).text
        against += f"; on {place} it would take {at_hand.copper_g:.1f} g: {other}"
    return Compromise(
        circuit=circuit,
        site=explained_layout.site_of(circuit.unit),
        copper_g=explained_layout.copper_g(circuit),
        nearest_unit=explained_layout.unit_at(best.slot),
        nearest_site=slot.site,
        nearest_g=best.copper_g,
        over_g=round(over_g, 3),
        against=against,
    )

"""A revision: the layout for a problem that has changed, made from the one that is built."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from allocator.checking.checker import check
from allocator.layout import FEASIBLE, INFEASIBLE, NOTHING_FOUND, OPTIMAL, Circuit, DirectCircuit, Layout
from allocator.model import Progress
from allocator.notebook import shown
from allocator.options import CutShort, LazyRows
from allocator.problem import Problem
from allocator.revising.built import completed, still_there
from allocator.revising.naming import revised_layout, with_pins
from allocator.revising.revision_model import CountingMoves, Revisable, Revising
from allocator.revising.what_changed import (
    MOVED,
    NEW,
    REMOVED,
    STAYS,
    Change,
    WireChange,
    changes,
    stands,
    staying,
    wire_changes,
)
from allocator.search.driver import Driver, Target
from allocator.search.incumbent import latest
from allocator.search.solve import InternalError, solve
from allocator.search.time_limit import Clock
from allocator.table import Table, columns_of, table_of

if TYPE_CHECKING:
    from pandas import DataFrame

FREE_S = 20.0
"""Seconds of the free re-optimisation where no limit is given and it is not to be exact."""

EQUAL = 1e-6
"""Relative distance within which an objective meets a bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """The layout that a new start would give, and what it would ask of the machine as it is built.

    ``moves`` and ``new_copper_g`` are counted as for the revision, its outputs dealt to match what is built.
    """

    layout: Layout
    moves: int
    new_copper_g: float


@dataclass(frozen=True, kw_only=True)
class Revision:
    """What comes of a revision.

    ``objective_g`` counts what is new: copper, splices, outputs used, outputs of fitted units that stay unused, mass
    of new units, and ``move_g`` for each move; ``bound_g`` and ``gap`` are of that. ``layout`` is the whole layout
    with its own objective, the full weight; None where none is possible or none was found. ``reasons`` say what
    cannot stay and why. ``least_moves`` is given where ``max_moves`` allows too few: so many at the least are needed.
    ``seconds`` are those of listing options and search, without the free re-optimisation.
    """

    problem: str
    status: str
    move_g: float
    max_moves: int | None
    resite: bool
    layout: Layout | None = None
    objective_g: float | None = None
    bound_g: float | None = None
    gap: float | None = None
    seconds: float = 0.0
    interrupted: bool = False
    changes: tuple[Change, ...] = ()
    wires: tuple[WireChange, ...] = ()
    reasons: tuple[tuple[str, str], ...] = ()
    least_moves: int | None = None
    free: Free | None = None
    cut_short: tuple[CutShort, ...] = field(default=())

    @property
    def moves(self) -> int:
        """Loads and feeds that could have stayed as they are built, and do not."""
        return sum(1 for change in self.changes if change.what == MOVED)

    @property
    def new_copper_g(self) -> float:
        """Copper of the wires to be made."""
        return round(sum(wire.copper_g for wire in self.wires if wire.what == NEW), 3)

    @property
    def sunk_copper_g(self) -> float:
        """Copper of the wires that stay."""
        return round(sum(wire.copper_g for wire in self.wires if wire.what == STAYS), 3)

    @property
    def removed_copper_g(self) -> float:
        """Copper of the wires to be removed."""
        return round(sum(wire.copper_g for wire in self.wires if wire.what == REMOVED), 3)

    @property
    def saved_by_free_g(self) -> float | None:
        """How much less the whole layout would weigh, in its objective, had nothing been built: at least."""
        return None if self.free is None else self._above_g(self.free.layout.objective_g)

    @property
    def saved_at_most_g(self) -> float | None:
        """The same: at most, as far as it is proven."""
        return None if self.free is None else self._above_g(self.free.layout.bound_g)

    def _above_g(self, grams: float | None) -> float | None:
        if self.layout is None or self.layout.objective_g is None or grams is None:
            return None
        return self.layout.objective_g - grams

    def _repr_html_(self) -> str:
        facts = [
            ("status", self.status),
            ("moves", self.moves),
            ("new copper, g", self.new_copper_g),
            ("copper that stays, g", self.sunk_copper_g),
            ("copper removed, g", self.removed_copper_g),
            ("reasons", "; ".join(f"{what}: {why}" for what, why in self.reasons)),
        ]
        return shown(f"{self.problem}: revision", facts, self.table())

    def table(self) -> Table:
        """One row a load or feed: what becomes of it, from where to where."""
        return table_of(columns_of(Change), self.changes)

    def wire_table(self) -> Table:
        """One row a wire that stays, is new or is to be removed."""
        return table_of(columns_of(WireChange), self.wires)

    def frame(self) -> DataFrame:
        """The changes for pandas."""
        return self.table().frame()

    def wire_frame(self) -> DataFrame:
        """The wires for pandas."""
        return self.wire_table().frame()


def revise(
    problem: Problem,
    layout: Layout,
    *,
    max_moves: int | None = None,
    move_g: float | None = None,
    resite: bool = False,
    free: bool = True,
    exact: bool = False,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    progress: Callable[[Progress], None] | None = None,
) -> Revision:
    """The layout of least new copper and moves for a problem that has changed since ``layout`` was built.

    Parameters
    ----------
    max_moves
        At most so many moves, 0 for none at all; None for no limit.
    move_g
        Grams of copper that one move is worth; None for the problem's.
    resite
        Whether units may move to other sites.
    free
        Whether to solve the problem afresh as well, to say what that would save.
    exact
        Whether the free re-optimisation is proven in full; else it has ``FREE_S`` seconds where no limit is given.
    time_limit_s, gap
        As for ``solve``; the free re-optimisation has what is left of the time, and a second at the least.

    Raises
    ------
    ValueError
        When ``max_moves`` or ``move_g`` is negative.
    InternalError
        When the independent check finds a violation in the revised layout.
    """
    move = problem.prices.move_g if move_g is None else move_g
    if move < 0.0 or (max_moves is not None and max_moves < 0):
        raise ValueError("max_moves and move_g must be 0 or more. Give such numbers.")
    clock = Clock(time_limit_s, len(problem.loads))
    own = Revisable.of(problem, still_there(problem, layout), resite=resite)
    asked = Revision(problem=problem.name, status=NOTHING_FOUND, move_g=move, max_moves=max_moves, resite=resite)
    driver = Driver(own.problem, clock, own.listed)
    with clock.searching():
        found = latest(driver.found(target=Target(gap), progress=progress, change=Revising(own, move, max_moves)))
    if found is None:
        return replace(asked, seconds=round(clock.seconds, 3))
    solution = found.solution
    revision = replace(
        asked,
        status=solution.status,
        objective_g=solution.objective_g,
        bound_g=solution.bound_g,
        gap=solution.gap,
        seconds=round(clock.seconds, 3),
        interrupted=solution.interrupted,
        reasons=tuple(own.reasons.told()),
        cut_short=found.covered.cut_short,
    )
    if solution.status == INFEASIBLE and max_moves is not None:
        return replace(revision, least_moves=_fewest(driver, own, clock))
    if solution.objective_g is None:
        return revision
    revised = replace(revised_layout(problem, own.built, found), seconds=revision.seconds)
    anew = None
    if free and not solution.interrupted:
        left_s = clock.left_for(found)
        limit_s = FREE_S if left_s is None and not exact else left_s
        # cables crowd where they do in the revised layout: most units stay where they are
        crowded = LazyRows(cables=driver.lazy.cables)
        anew = solve(problem, time_limit_s=limit_s, start=revised, lazy=crowded)
    return _with_layout(problem, layout, own, revised, revision, anew)


def _fewest(driver: Driver, own: Revisable, clock: Clock) -> int | None:
    """The fewest moves that are needed; None where that is not proven in the time."""
    with clock.searching(own):
        fewest = latest(driver.found(change=CountingMoves(own), weighed=False))
    if fewest is None or fewest.solution.objective_g is None or fewest.solution.status != OPTIMAL:
        return None
    return round(fewest.solution.objective_g)


def _with_layout(
    problem: Problem, before: Layout, own: Revisable, layout: Layout, revision: Revision, anew: Layout | None
) -> Revision:
    """The revision with its layout, and with the free one (if any) that it is compared to."""
    whole, again = completed(problem, before), None
    if anew is not None and anew.status in (OPTIMAL, FEASIBLE):
        again = _compared(whole, own, anew)
        layout = _bounded(layout, anew.bound_g)
    report = check(problem, layout)
    if not report.clean:
        raise InternalError(report)
    stay = staying(own.built, layout, own.reasons, own.given)
    return replace(
        revision,
        layout=layout,
        changes=tuple(changes(whole, own.built, layout, own.reasons, stay)),
        wires=tuple(wire_changes(whole, layout, stay)),
        free=again,
    )


def _bounded(layout: Layout, bound_g: float | None) -> Layout:
    """The layout with a bound on every layout of the problem."""
    if bound_g is None or layout.objective_g is None:
        return layout
    over = layout.objective_g - bound_g
    if over <= EQUAL * max(1.0, abs(layout.objective_g)):
        return replace(layout, status=OPTIMAL, bound_g=layout.objective_g, gap=0.0)
    return replace(layout, bound_g=bound_g, gap=over / layout.objective_g)


def _compared(before: Layout, own: Revisable, anew: Layout) -> Free:
    """What a layout that knows nothing of what is built would move; which contact a wire has is no matter here."""
    built, new, old = (_without_contacts(one) for one in (own.built, anew, before))
    as_built = {(c.unit, frozenset(c.loads)): c for c in built.circuits}
    kept: dict[str, tuple[str, ...]] = {}
    for circuit in new.circuits:
        same = as_built.get((circuit.unit, frozenset(circuit.loads)))
        if same is None or (same.output_class, same.bank) != (circuit.output_class, circuit.bank):
            continue
        if stands(same, replace(circuit, pins=same.pins)):
            kept[circuit.name] = same.pins
    new = replace(new, circuits=with_pins(new.circuits, kept))
    stay = staying(built, new, own.reasons, own.given)
    loads = sum(len(c.loads) for c in built.circuits if (c.unit, frozenset(c.pins)) in stay.circuits)
    moves = own.movable - loads - len(stay.direct) - len(stay.feeds)
    made = sum(wire.copper_g for wire in wire_changes(old, new, stay) if wire.what == NEW)
    return Free(layout=anew, moves=moves, new_copper_g=round(made, 3))


def _without_contacts(layout: Layout) -> Layout:
    def bare(circuit: Circuit) -> Circuit:
        return replace(circuit, wires=tuple(replace(wire, contacts=()) for wire in circuit.wires))

    def bare_direct(one: DirectCircuit) -> DirectCircuit:
        return replace(one, wires=tuple(replace(wire, contacts=()) for wire in one.wires))

    return replace(
        layout,
        circuits=tuple(bare(circuit) for circuit in layout.circuits),
        direct=tuple(bare_direct(one) for one in layout.direct),
    )


__all__ = ["Free", "Revision", "revise"]

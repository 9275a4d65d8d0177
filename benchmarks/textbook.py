"""The textbook model beside ours: one binary per load and named output, unit by unit and site by site.

Same prices of the same options, same solver, one process. Run: ``python -m benchmarks.textbook``
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy

from allocator.model import optimise
from allocator.options import FeedOption, OptionList, Slot, list_options
from allocator.problem import Fit, Unit
from benchmarks.machines import Size, machine
from benchmarks.timing import stop_after, timed

INFINITY = highspy.kHighsInf
SIZES = (Size(30, 2, 3), Size(60, 3, 6))
TIMES_OURS = 20.0
"""How many times our seconds the textbook model is given."""


@dataclass(frozen=True)
class Answer:
    """What a model came to: grams, bound in grams, processor seconds, binaries."""

    objective_g: float | None
    bound_g: float | None
    seconds: float
    binaries: int

    @property
    def proven(self) -> bool:
        """Whether the bound meets the objective."""
        return self.gap is not None and self.gap <= 1e-6

    @property
    def gap(self) -> float | None:
        """(objective - bound) / objective, None while either is unknown."""
        if self.objective_g is None or self.bound_g is None:
            return None
        return max(0.0, (self.objective_g - self.bound_g) / self.objective_g)


class Textbook:
    """``x[i, u, s, pin]``: load *i* on the pin of unit *u* at site *s*; ``fit[u, s]``; ``feed[u, s, g]``.

    For problems whose circuits are single loads on one output, without banks, bulkheads, functions or spread.
    """

    def __init__(self, option_list: OptionList):
        self.costs: list[float] = []
        self.rows: list[tuple[float, float, list[int], list[float]]] = []
        self.option_list, self.problem = option_list, option_list.problem
        self.of_load: dict[str, list[int]] = {load.name: [] for load in self.problem.loads}
        self.at_site: dict[str, list[int]] = {}
        for unit in self.problem.units:
            self._unit(unit)
        for own in self.of_load.values():
            self._row(1.0, 1.0, own, [1.0] * len(own))
        for site, fits in self.at_site.items():
            self._row(-INFINITY, self.problem.place[site].units, fits, [1.0] * len(fits))

    def _column(self, cost: float) -> int:
        self.costs.append(cost)
        return len(self.costs) - 1

    def _row(self, low: float, high: float, columns: Sequence[int], coefficients: Sequence[float]) -> None:
        self.rows.append((low, high, list(columns), list(coefficients)))

    def _unit(self, unit: Unit) -> None:
        slots = {s.site: s for s in self.option_list.slots if s.copy == 0 and _takes(self.option_list, s, unit)}
        fits = [self._placed(unit, slot) for slot in slots.values()]
        self._row(1.0 if unit.fit is Fit.ALWAYS else 0.0, 1.0, fits, [1.0] * len(fits))

    def _placed(self, unit: Unit, slot: Slot) -> int:
        """Columns and rows of a unit at one site."""
        prices = self.problem.prices
        idle = (slot.outputs - slot.spare) * prices.unused_output_g
        fit = self._column(idle + prices.unit_mass * slot.unit_type.mass_g)
        self.at_site.setdefault(slot.site, []).append(fit)
        feeds = self.option_list.feeds_by_slot[slot.index]
        fed = [self._column(f.copper_g) for f in feeds]
        self._row(0.0, 0.0, [*fed, fit], [*[1.0] * len(fed), -1.0])
        taken: list[tuple[int, int]] = []
        for number, group in enumerate(slot.classes):
            cheapest = self._cheapest(slot, number)
            of_class: list[int] = []
            for _ in group.pins:
                own = []
                for alike, cost in cheapest.items():
                    for load in self.option_list.load_groups[alike].loads:
                        column = self._column(cost + prices.used_output_g - prices.unused_output_g)
                        self.of_load[load.name].append(column)
                        own.append(column)
                        taken.append((column, alike))
                self._row(-INFINITY, 0.0, [*own, fit], [*[1.0] * len(own), -1.0])
                of_class += own
            kept = dict(unit.spare).get(group.output.name, 0)
            if kept:
                self._row(-INFINITY, 0.0, [*of_class, fit], [*[1.0] * len(of_class), float(kept - len(group.pins))])
        self._currents(slot, fit, taken, fed, feeds)
        return fit

    def _cheapest(self, slot: Slot, number: int) -> dict[int, float]:
        """Grams of the cheapest option of each load group on a class of a slot."""
        least: dict[int, float] = {}
        for option in self.option_list.by_slot[slot.index]:
            if number in option.classes:
                alike = option.candidate.members[0][0]
                least[alike] = min(least.get(alike, INFINITY), option.plan.price_g)
        return least

    def _currents(
        self,
        slot: Slot,
        fit: int,
        taken: list[tuple[int, int]],
        fed: list[int],
        feeds: tuple[FeedOption, ...],
    ) -> None:
        columns = [column for column, _ in taken]
        for m in range(len(self.problem.conditions)):
            draws = [float(self.option_list.heating_ma[alike][m]) for _, alike in taken]
            spare = float(slot.spare_current_ma)
            self._row(-INFINITY, 0.0, [*columns, fit], [*draws, spare - slot.limit_ma])
            capacity = [-float(f.capacity_ma) for f in feeds]
            self._row(-INFINITY, 0.0, [*columns, fit, *fed], [*draws, spare, *capacity])

    def solve(self, limit_s: float | None = None) -> Answer:
        """Solve with HiGHS, one thread, the engine's seed and gap, for so many processor seconds at most."""
        highs = highspy.Highs()  # type: ignore[no-untyped-call]
        highs.silent()
        for option, value in (("threads", 1), ("random_seed", 0), ("mip_rel_gap", 0.0)):
            highs.setOptionValue(option, value)
        highs.passModel(self._program())
        if limit_s is not None:
            stop_after(highs, limit_s)
        _, seconds = timed(highs.run)
        info = highs.getInfo()
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        bound = info.mip_dual_bound if abs(info.mip_dual_bound) < INFINITY else None
        return Answer(info.objective_function_value if found else None, bound, seconds, len(self.costs))

    def _program(self) -> highspy.HighsLp:
        program = highspy.HighsLp()
        program.num_col_, program.num_row_ = len(self.costs), len(self.rows)
        program.col_cost_ = numpy.array(self.costs)
        program.col_lower_, program.col_upper_ = numpy.zeros(len(self.costs)), numpy.ones(len(self.costs))
        program.row_lower_ = numpy.array([row[0] for row in self.rows])
        program.row_upper_ = numpy.array([row[1] for row in self.rows])
        program.integrality_ = [highspy.HighsVarType.kInteger] * len(self.costs)
        program.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        program.a_matrix_.start_ = numpy.cumsum([0, *(len(row[2]) for row in self.rows)])
        program.a_matrix_.index_ = numpy.array([column for row in self.rows for column in row[2]])
        program.a_matrix_.value_ = numpy.array([value for row in self.rows for value in row[3]])
        return program


def _takes(option_list: OptionList, slot: Slot, unit: Unit) -> bool:
    return any(other.name == unit.name for other in option_list.unit_groups[slot.unit_group].units)


def ours(option_list: OptionList) -> Answer:
    """Our model of the same options: rows made, handed over, solved and proven."""
    solution, seconds = timed(lambda: optimise(option_list))
    return Answer(solution.objective_g, solution.bound_g, seconds, len(option_list.options))


def compare(size: Size, seed: int = 1) -> tuple[Answer, Answer]:
    """Ours and the textbook's answer for one plain machine, each from the same option list to the proof."""
    option_list = list_options(machine(size, seed=seed))
    optimise(list_options(machine(Size(12, 2, 3))))  # what is imported at first use is not timed
    own = ours(option_list)
    model, built_s = timed(lambda: Textbook(option_list))
    # at the smallest size it may take all the time it needs: the ratio is what is asked
    answer = model.solve(None if size.loads <= 30 else max(TIMES_OURS * own.seconds, 1.0))
    return own, Answer(answer.objective_g, answer.bound_g, answer.seconds + built_s, answer.binaries)


def table(sizes: Sequence[Size] = SIZES, seed: int = 1) -> list[str]:
    """A Markdown table, two lines a size."""
    lines = [
        "| size | model | columns | cpu s | objective g | gap | times our s |",
        "|---|---|---|---|---|---|---|",
    ]
    for size in sizes:
        own, book = compare(size, seed)
        for name, answer in (("ours", own), ("textbook", book)):
            gap = "none found" if answer.gap is None else f"{100 * answer.gap:.2f} %"
            grams = "-" if answer.objective_g is None else f"{answer.objective_g:.3f}"
            lines.append(
                f"| {size} | {name} | {answer.binaries} | {answer.seconds:.2f} | {grams} | {gap} "
                f"| {answer.seconds / own.seconds:.0f} |"
            )
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sizes", nargs="*", type=Size.of, default=SIZES, help="such as 30/2/3")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    print("\n".join(table(args.sizes, args.seed)))


if __name__ == "__main__":
    main()

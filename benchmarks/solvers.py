"""HiGHS, CBC, CP-SAT and SCIP on our own rows, one thread each, a limit on the wall each.

CBC comes with PuLP 3; ``pip install -e '.[bench]'`` adds it for later versions (cbcbox), and CP-SAT (ortools) and SCIP
(pyscipopt). Run: ``python -m benchmarks.solvers``
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from importlib.util import find_spec
from resource import RUSAGE_CHILDREN, RUSAGE_SELF, getrusage

from allocator.model import build
from allocator.model.model import Model
from allocator.model.rows import Sense
from allocator.model.solver import formulated, run
from allocator.options import list_options
from benchmarks.machines import Size, machine
from benchmarks.registry import KINDS

SIZES = tuple(Size.of(text) for text in ("30/2/3", "60/3/6", "100/5/8"))
MILLIGRAMS = 1000
CBC = "pulp" if version("pulp").startswith("3.") else "cbcbox"
"""The package that carries the binary of CBC."""

LARGEST = 10**8
"""Above any current in mA: an upper bound for columns that have none, which CP-SAT asks for."""


@dataclass(frozen=True)
class Found:
    """Grams found and grams proven, None where there is nothing; proven by the solver's own word."""

    objective_g: float | None
    bound_g: float | None
    proven: bool


def by_highs(model: Model, limit_s: float) -> Found:
    """As the engine does."""
    outcome = run(model, time_limit_s=limit_s)
    grams = None if outcome.values is None else sum(c * outcome.values[x.index] for x, c in model.objective)
    return Found(grams, outcome.bound_g, outcome.proven)


def by_cbc(model: Model, limit_s: float) -> Found:
    """The binary that PuLP calls; its bound is read from its log, as PuLP does not tell it."""
    import tempfile
    from pathlib import Path

    import pulp

    problem = formulated(model)
    assert problem is not None, "a row without columns cannot hold"
    with tempfile.TemporaryDirectory() as place:
        log = Path(place) / "log"
        solver = pulp.COIN_CMD(
            path=pulp.PULP_CBC_CMD.pulp_cbc_path if CBC == "pulp" else None,
            msg=False,
            threads=1,
            timeLimit=limit_s,
            gapRel=0.0,
            logPath=str(log),
            timeMode="elapsed",
        )
        answer = problem.solve(solver)
        said = log.read_text(encoding="utf-8")
    if CBC == "pulp":
        found = problem.sol_status in (pulp.LpSolutionOptimal, pulp.LpSolutionIntegerFeasible)
    else:
        found = answer.has_solution
    grams = float(pulp.value(problem.objective)) if found else None
    proven = "Result - Optimal solution found" in said
    bounds = [float(line.split()[-1]) for line in said.splitlines() if line.startswith("Lower bound:")]
    return Found(grams, grams if proven else (bounds[-1] if bounds else None), proven)


def by_cp_sat(model: Model, limit_s: float) -> Found:
    """Every column whole, which loses nothing: spreads and losses are whole in some best answer."""
    from ortools.sat.python import cp_model

    program = cp_model.CpModel()
    columns = [
        program.new_int_var(0, LARGEST if x.upper is None else int(x.upper), f"c{x.index}") for x in model.columns
    ]
    for _, row in model.rows:
        left = cp_model.LinearExpr.weighted_sum(
            [columns[x.index] for x, _ in row.terms], [round(c) for _, c in row.terms]
        )
        low = -(10**15) if row.sense is Sense.AT_MOST else round(row.right)
        high = 10**15 if row.sense is Sense.AT_LEAST else round(row.right)
        program.add_linear_constraint(left, low, high)
    program.minimize(
        cp_model.LinearExpr.weighted_sum(
            [columns[x.index] for x, _ in model.objective], [round(MILLIGRAMS * c) for _, c in model.objective]
        )
    )
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_time_in_seconds = 1, limit_s
    status = solver.solve(program)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    grams = solver.objective_value / MILLIGRAMS if found else None
    return Found(grams, solver.best_objective_bound / MILLIGRAMS, status == cp_model.OPTIMAL)


def by_scip(model: Model, limit_s: float) -> Found:
    """SCIP as it comes, on the wall clock."""
    import pyscipopt

    program = pyscipopt.Model()
    program.hideOutput()
    program.setParams({"limits/time": limit_s, "timing/clocktype": 2, "limits/gap": 0.0})
    columns = [
        program.addVar(vtype="I" if x.integer else "C", lb=0, ub=x.upper, name=f"c{x.index}") for x in model.columns
    ]
    for _, row in model.rows:
        left = pyscipopt.quicksum(c * columns[x.index] for x, c in row.terms)
        if row.sense is Sense.AT_MOST:
            program.addCons(left <= row.right)
        elif row.sense is Sense.AT_LEAST:
            program.addCons(left >= row.right)
        else:
            program.addCons(left == row.right)
    program.setObjective(pyscipopt.quicksum(c * columns[x.index] for x, c in model.objective), "minimize")
    program.optimize()
    grams = program.getObjVal() if program.getNSols() else None
    return Found(grams, program.getDualbound(), program.getStatus() == "optimal")


SOLVERS: dict[str, tuple[str, Callable[[Model, float], Found]]] = {
    "HiGHS": ("highspy", by_highs),
    "CBC": (CBC, by_cbc),
    "CP-SAT": ("ortools", by_cp_sat),
    "SCIP": ("pyscipopt", by_scip),
}
"""By name: the package that must be there, and how it is asked."""


def table(sizes: Sequence[Size], kinds: Sequence[str], limit_s: float = 60.0, seed: int = 1) -> Iterator[str]:
    """Lines of a Markdown table, each as soon as it is known."""
    yield "| size | rows | columns | solver | objective g | gap | s | cpu s |"
    yield "|---|---|---|---|---|---|---|---|"
    for size in sizes:
        for kind in kinds:
            model = build(list_options(machine(size, KINDS[kind], seed)))
            for name, (package, solve) in SOLVERS.items():
                start = f"| {size} {kind} | {len(model.rows)} | {len(model.columns)} | {name} "
                if find_spec(package) is None:
                    yield f"{start}| {package} is not installed | - | - | - |"
                    continue
                wall, cpu = time.perf_counter(), _cpu_s()
                found = solve(model, limit_s)
                wall, cpu = time.perf_counter() - wall, _cpu_s() - cpu
                grams = "-" if found.objective_g is None else f"{found.objective_g:.3f}"
                yield f"{start}| {grams} | {_gap(found)} | {wall:.1f} | {cpu:.1f} |"


def _gap(found: Found) -> str:
    if found.proven:
        return "proven"
    if found.objective_g is None or found.bound_g is None:
        return "-"
    return f"{100 * (found.objective_g - found.bound_g) / found.objective_g:.2f} %"


def _cpu_s() -> float:
    """Processor seconds of this process and of those it has waited for (CBC is one)."""
    own, others = getrusage(RUSAGE_SELF), getrusage(RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + others.ru_utime + others.ru_stime


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sizes", nargs="*", type=Size.of, default=SIZES, help="such as 60/3/6")
    parser.add_argument("--kinds", nargs="+", choices=KINDS, default=["plain"])
    parser.add_argument("--limit", type=float, default=60.0, help="seconds on the wall for each")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    for line in table(args.sizes, args.kinds, args.limit, args.seed):
        print(line, flush=True)


if __name__ == "__main__":
    main()

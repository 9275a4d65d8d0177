"""How long it takes to say why there is no layout, where only one kind of limit is too tight.

The small ones are the folders of ``tests/cases/infeasible``; the large ones are a demonstration problem, bundles off,
of which one kind of limit is cut down in full view below.

python -m benchmarks.why_not [PROBLEM] [--limit SECONDS] [--small]
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from allocator import Problem, read_problem, why_not
from allocator.infeasibility.why_not import Infeasibility
from allocator.problem import Fit, WireTable
from benchmarks.demonstrations import PROBLEMS, read_as_if_alone
from benchmarks.markdown import head, line
from tests.case_folders import cases_of, problem_folder

LIMIT_S = 30.0
HEADINGS = ("machine", "seconds", "proven", "why", "a way out", "ways", "tried in vain")


def _contacts(problem: Problem) -> Problem:
    cut = [replace(c, count=max(1, c.count // 4)) for b in problem.bulkheads for c in b.contacts]
    left = iter(cut)
    return replace(
        problem,
        bulkheads=tuple(replace(b, contacts=tuple(next(left) for _ in b.contacts)) for b in problem.bulkheads),
    )


def _studs(problem: Problem) -> Problem:
    return replace(problem, bulkheads=tuple(replace(b, studs=0) for b in problem.bulkheads))


def _banks(problem: Problem) -> Problem:
    types = [
        replace(t, banks=tuple(replace(b, continuous_a=0.3 * b.continuous_a) for b in t.banks))
        for t in problem.unit_types
    ]
    return replace(problem, unit_types=tuple(types))


def _units(problem: Problem) -> Problem:
    return replace(
        problem, unit_types=tuple(replace(t, continuous_a=0.45 * t.continuous_a) for t in problem.unit_types)
    )


def _outputs(problem: Problem) -> Problem:
    pinned = {load.output for load in problem.loads}
    types = [
        replace(
            t,
            outputs=tuple(
                replace(o, pins=tuple(p for n, p in enumerate(o.pins) if n < 4 or p in pinned)) for o in t.outputs
            ),
        )
        for t in problem.unit_types
    ]
    return replace(problem, unit_types=tuple(types), units=tuple(replace(u, spare=()) for u in problem.units))


def _feeds(problem: Problem) -> Problem:
    return replace(problem, feed_wires=_light(problem, 4.0))


def _light(problem: Problem, most_mm2: float) -> WireTable:
    """The feed table without heavy cable, but for what is given."""
    given = {wire.size for wire in problem.given_wires}
    kept = [wire for wire in problem.feed_wires.wires if wire.area_mm2 <= most_mm2 or wire.size in given]
    lightest = min(problem.feed_wires.wires, key=lambda wire: wire.area_mm2)
    return replace(problem.feed_wires, wires=tuple(kept) or (lightest,))


def _starts(problem: Problem) -> Problem:
    started = max(problem.loads, key=lambda load: load.inrush_a or 0.0)
    loads = [
        replace(load, inrush_a=load.inrush_a * 2.0) if load is started and load.inrush_a else load
        for load in problem.loads
    ]
    types = [
        replace(t, outputs=tuple(replace(o, peaks=tuple((9.0 * a, s) for a, s in o.peaks)) for o in t.outputs))
        for t in problem.unit_types
    ]
    return replace(problem, loads=tuple(loads), unit_types=tuple(types), feed_wires=_light(problem, 16.0))


def _spares(problem: Problem) -> Problem:
    there = {(t.name, o.name): 0 for t in problem.unit_types for o in t.outputs}
    for t in problem.unit_types:
        for o in t.outputs:
            there[t.name, o.name] += len(o.pins)
    units = [
        replace(u, spare=tuple((name, there[u.type, name] // 2) for kind, name in there if kind == u.type))
        for u in problem.units
    ]
    return replace(problem, units=tuple(units))


def _functions(problem: Problem) -> Problem:
    functions = [
        replace(
            f,
            survive=sum(load.name in f.loads or load.item in f.loads for load in problem.loads),
            against=tuple(kind for kind in ("unit",) if kind in f.against) or f.against,
        )
        for f in problem.functions
    ]
    return replace(problem, functions=tuple(functions))


def _sites(problem: Problem) -> Problem:
    first = problem.units[0]
    others = [replace(first, name=f"{first.name} {n}", spare=(), fit=Fit.ALWAYS) for n in range(2, 6)]
    return replace(problem, units=(*problem.units, *others))


def _ground_studs(problem: Problem) -> Problem:
    places = [replace(p, stud_a=p.stud_a / 10.0) if p.stud_a else p for p in problem.places]
    return replace(problem, places=tuple(places))


LARGE: dict[str, Callable[[Problem], Problem]] = {
    "contacts": _contacts,
    "studs of bulkheads": _studs,
    "banks": _banks,
    "units": _units,
    "outputs": _outputs,
    "feeds": _feeds,
    "starts": _starts,
    "spares": _spares,
    "functions": _functions,
    "sites": _sites,
    "ground studs": _ground_studs,
}


def table(machines: Iterator[tuple[str, Problem]], limit_s: float) -> Iterator[str]:
    """A Markdown table, row by row."""
    yield from head(HEADINGS)
    for name, problem in machines:
        began = time.monotonic()
        found = why_not(problem, time_limit_s=limit_s)
        yield line([name, f"{time.monotonic() - began:.1f}", *_row(found)])


def _row(found: Infeasibility | None) -> list[str]:
    if found is None:
        return ["has a layout", "", "", "", ""]
    ways = [found.ways[0].sentence if found.ways else "none", str(len(found.ways))]
    return ["yes" if found.proven else "no", found.sentence, *ways, str(len(found.vain))]


def small() -> Iterator[tuple[str, Problem]]:
    """The cases of the tests."""
    return ((case, read_problem(problem_folder(f"infeasible/{case}/problem"))) for case in cases_of("infeasible"))


def large(folder: Path) -> Iterator[tuple[str, Problem]]:
    """One problem cut down in one kind of limit after another."""
    whole = read_as_if_alone(folder)
    return ((f"{whole.name}, {kind}", cut(whole)) for kind, cut in LARGE.items())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("problem", nargs="?", type=Path, default=PROBLEMS / "clinic-van", help="problem folder")
    parser.add_argument("--limit", type=float, default=LIMIT_S, metavar="SECONDS", help=f"of each ({LIMIT_S:g})")
    parser.add_argument("--small", action="store_true", help="the small ones alone")
    args = parser.parse_args()
    for text in table(small() if args.small else large(args.problem), args.limit):
        print(text, flush=True)


if __name__ == "__main__":
    main()

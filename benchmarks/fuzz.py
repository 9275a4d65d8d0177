"""Mutated problem folders, workbooks and layouts: each ends in a sentence and an exit code, and none is falsely clean.

Each is held against the command in a process of its own, forked so that imports are paid once, with limits on memory
and time. Three kinds of change are made: bytes (flipped, cut off, doubled), pieces of text (numbers, keys, cells, odd
letters), and harm: changes that break a rule by construction, so that a check must not call the result clean.

A layout that is called clean and is not the one that was mutated is looked at again: what was read of it, written
out and read once more, must be clean too, and it must feed each load once, from pins that are there and used once.

python -m benchmarks.fuzz [--count N] [--seed N] [--kind folders workbooks layouts] [--keep DIR]
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout, suppress
from dataclasses import dataclass, field
from io import StringIO
from pathlib import Path
from unittest.mock import patch

from allocator.cli import main as command
from allocator.importing.beginning import write_first
from allocator.importing.workbook import write_workbook
from allocator.layout import Layout, LayoutError
from allocator.problem import Problem, Supply
from benchmarks.markdown import head, line
from benchmarks.mutations import OF_FOLDER, OF_LAYOUT, OF_WORKBOOK, Mutation

CODES = frozenset({0, 1, 2, 3})
"""Exit codes that README names for what a user may give; 70 is an internal error."""

MEMORY = 2 << 30
CPU_S, WALL_S = 20, 120
KINDS = ("folders", "workbooks", "layouts")
HEADINGS = ("kind", "runs", "0", "1", "2", "3", "other codes", "killed", "tracebacks", "false clean", "seconds")


@dataclass(frozen=True, slots=True)
class Seeds:
    """What is mutated: a small problem in both forms, and a layout that is clean for it."""

    home: Path
    folder: Path
    workbook: Path
    layout: Path
    problem: Problem

    @classmethod
    def written(cls, home: Path) -> Seeds:
        """Write them; the problem is solved once."""
        from allocator import read_problem, solve

        folder = write_first(home / "folder")
        problem = read_problem(folder)
        layout = home / "layout.json"
        layout.write_text(solve(problem).to_json(), encoding="utf-8")
        return cls(home, folder, write_workbook(folder, home / "book.xlsx"), layout, problem)


@dataclass(frozen=True, slots=True)
class End:
    """How one run ended: exit code, or the signal that killed it as a negative number, and what it said."""

    code: int
    said: str

    @property
    def traceback(self) -> bool:
        return "Traceback (most recent call last)" in self.said


@dataclass(slots=True)
class Tally:
    """Ends of one kind, and what was wrong with some of them."""

    kind: str
    codes: Counter[int] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    tracebacks: int = 0
    false_clean: int = 0
    seconds: float = 0.0

    @property
    def good(self) -> bool:
        """No traceback, no exit outside of the table, no false clean."""
        return not self.wrong

    def row(self) -> tuple[str, ...]:
        others = sum(n for code, n in self.codes.items() if code not in CODES and code >= 0)
        killed = sum(n for code, n in self.codes.items() if code < 0)
        known = [self.codes[code] for code in sorted(CODES)]
        figures = [sum(self.codes.values()), *known, others, killed, self.tracebacks, self.false_clean]
        return (self.kind, *map(str, figures), f"{self.seconds:.0f}")


def fuzz(seeds: Seeds, kind: str, count: int, seed: int, keep: Path | None = None) -> Tally:
    """Run so many mutations of a kind, always the same ones for a seed."""
    tally, chance = Tally(kind), random.Random(f"{kind} {seed}")
    make: dict[str, Callable[[Seeds, random.Random, Path, int], tuple[list[object], Mutation, Path]]]
    make = {"folders": _folder, "workbooks": _workbook, "layouts": _layout}
    began = time.monotonic()
    for number in range(count):
        home = Path(tempfile.mkdtemp(dir=seeds.home))
        arguments, mutation, made = make[kind](seeds, chance, home, number)
        end = run([str(one) for one in arguments])
        tally.codes[end.code] += 1
        tally.tracebacks += end.traceback
        false = end.code == 0 and arguments[0] == "check" and _falsely_clean(seeds, kind, mutation, made)
        tally.false_clean += false
        if end.code not in CODES or end.traceback or false:
            how = f"exit {end.code}{', falsely clean' * false}"
            tally.wrong.append(f"{kind} {number} ({mutation.what}): {how}\n{end.said}")
            if keep is not None:
                shutil.copytree(home, keep / f"{kind}-{seed}-{number}", dirs_exist_ok=True)
        shutil.rmtree(home)
    tally.seconds = time.monotonic() - began
    return tally


def run(arguments: Sequence[str]) -> End:
    """The command in a fork of this process, within limits."""
    with tempfile.TemporaryFile() as said, open(os.devnull, "w") as nowhere:  # noqa: PTH123
        sys.stdout.flush()
        child = os.fork()
        if child == 0:
            _child(arguments, said.fileno(), nowhere.fileno())
        _, status = os.waitpid(child, 0)
        said.seek(0)
        text = said.read().decode("utf-8", "replace")[-4000:]
    return End(os.waitstatus_to_exitcode(status), text)


def _child(arguments: Sequence[str], said: int, nowhere: int) -> None:
    code = 1
    try:
        os.dup2(nowhere, 1)
        os.dup2(said, 2)
        sys.stdout, sys.stderr = open(1, "w", closefd=False), open(2, "w", closefd=False)  # noqa: SIM115
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
        signal.alarm(WALL_S)
        sys.argv = ["allocator", *arguments]
        command()
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else int(end.code is not None)
    except BaseException:
        import traceback

        traceback.print_exc(file=sys.stderr)
    finally:
        sys.stderr.flush()
        os._exit(code)


def _folder(seeds: Seeds, chance: random.Random, home: Path, number: int) -> tuple[list[object], Mutation, Path]:
    made = home / "folder"
    shutil.copytree(seeds.folder, made)
    mutation = chance.choice(OF_FOLDER)
    file = made / chance.choice(mutation.files or sorted(path.name for path in made.iterdir()))
    file.write_bytes(mutation.change(file.read_bytes(), chance))
    command_line: list[object] = ["check", made, seeds.layout]
    if number % 10 == 9 and not mutation.harm:
        command_line = chance.choice([["demand", made], ["import", made / "loads.csv", home / "out"]])
    return command_line, mutation, made


def _workbook(seeds: Seeds, chance: random.Random, home: Path, number: int) -> tuple[list[object], Mutation, Path]:
    made = home / "book.xlsx"
    mutation = chance.choice(OF_WORKBOOK)
    made.write_bytes(mutation.change(seeds.workbook.read_bytes(), chance))
    command_line: list[object] = ["check", made, seeds.layout]
    if number % 4 == 3 and not mutation.harm:
        command_line = chance.choice([["demand", made], ["import", made, home / "out"]])
    return command_line, mutation, made


def _layout(seeds: Seeds, chance: random.Random, home: Path, number: int) -> tuple[list[object], Mutation, Path]:
    made = home / "layout.json"
    mutation = chance.choice(OF_LAYOUT)
    made.write_bytes(mutation.change(seeds.layout.read_bytes(), chance))
    command_line: list[object] = ["check", seeds.folder, made]
    if number % 10 == 9 and not mutation.harm:
        command_line = ["report", seeds.folder, made, "--json"]
    return command_line, mutation, made


def _falsely_clean(seeds: Seeds, kind: str, mutation: Mutation, made: Path) -> bool:
    if mutation.harm:
        return True
    if kind != "layouts":
        return False
    try:
        read, known = (Layout.from_json(path.read_text(encoding="utf-8-sig")) for path in (made, seeds.layout))
    except (LayoutError, UnicodeDecodeError):
        return True
    if read == known:
        return False
    return bool(list(_faults(seeds.problem, read))) or not _clean_again(seeds.problem, read)


def _clean_again(problem: Problem, layout: Layout) -> bool:
    from allocator import check

    try:
        return check(problem, Layout.from_json(layout.to_json())).clean
    except (LayoutError, ValueError):
        return False


def _faults(problem: Problem, layout: Layout) -> Iterator[str]:
    """What anybody sees to be wrong, told without the checker."""
    fed = Counter(load for circuit in layout.circuits for load in circuit.loads)
    fed.update(one.load for one in layout.direct)
    for load in problem.loads:
        if fed[load.name] != 1:
            yield f"{load.name} is fed {fed[load.name]} times"
    pins = Counter((circuit.unit, pin) for circuit in layout.circuits for pin in circuit.pins)
    types = {unit.name: problem.unit_type[unit.type] for unit in problem.units}
    there = {(name, pin) for name, one in types.items() for output in one.outputs for pin in output.pins}
    yield from (f"{pin} is used {n} times" for pin, n in pins.items() if n > 1 or pin not in there)
    for circuit in layout.circuits:
        loads = [problem.load[name] for name in circuit.loads if name in problem.load]
        if circuit.trip_a is not None and circuit.trip_a < max((load.current_a for load in loads), default=0.0):
            yield f"{circuit.name} trips below a load"
    at_source = {load.name for load in problem.loads if load.supply is Supply.DIRECT}
    yield from (f"{one.load} is no direct load" for one in layout.direct if one.load not in at_source)


def warmed(seeds: Seeds) -> None:
    """Run each command once here: imports, units and tables are then paid before anything is forked."""
    for arguments in (
        ["check", seeds.folder, seeds.layout],
        ["check", seeds.workbook, seeds.layout],
        ["report", seeds.folder, seeds.layout, "--json"],
        ["demand", seeds.workbook],
        ["import", seeds.folder / "loads.csv", seeds.home / "of a list"],
        ["import", seeds.workbook, seeds.home / "of a workbook"],
    ):
        with (
            patch.object(sys, "argv", ["allocator", *map(str, arguments)]),
            redirect_stdout(StringIO()),
            redirect_stderr(StringIO()),
            suppress(SystemExit),
        ):
            command()
    gc.freeze()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=10_000, help="runs of each kind")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--kind", nargs="*", choices=KINDS, default=list(KINDS))
    parser.add_argument("--keep", type=Path, help="a folder for what ends wrong")
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        seeds = Seeds.written(Path(home))
        warmed(seeds)
        print("\n".join(head(HEADINGS)), flush=True)
        wrong: list[str] = []
        for kind in args.kind:
            tally = fuzz(seeds, kind, args.count, args.seed, args.keep)
            print(line(tally.row()), flush=True)
            wrong += tally.wrong
    print("\n\n".join(wrong[:20]))
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()

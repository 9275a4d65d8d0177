"""What the files of a result cost: processor seconds with --out and without, each in a process of its own.

.venv/bin/python -m benchmarks.papers [--repeats 5] [--limit 40]

The first is ``allocator solve`` on hill-climber. A made-up machine of 100 loads is solved once, within a limit; then a
process reads it and its layout, checks and prints it as ``solve`` does after its search, and makes the files or not.
"""

from __future__ import annotations

import argparse
import io
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

from allocator.layout import Layout
from allocator.reading import read_problem
from allocator.search.solve import solve
from benchmarks.folders import write
from benchmarks.machines import FEATURES, Size, machine

CLIMBER = Path(__file__).parents[1] / "problems" / "hill-climber"
SIZE = Size(100, 5, 8)
MOST_S = {"hill-climber": 2.0, "100 loads": 3.0}
"""Processor seconds that the files may take."""


def seconds(command: Sequence[str]) -> float:
    """Processor seconds of a command, user and system, its imports too."""
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def compared(command: Sequence[str], out: Path, repeats: int) -> tuple[float, float]:
    """Medians without and with ``--out``, run in turn so that what else the machine does falls on both."""
    seconds([*command, "--out", str(out)])  # fills the file cache
    pairs = [(seconds(command), seconds([*command, "--out", str(out)])) for _ in range(repeats)]
    without, with_files = map(statistics.median, zip(*pairs, strict=True))
    return without, with_files


def finished(folder: Path, layout: Path, out: Path | None) -> None:
    """What ``solve`` does around its search, here and now."""
    from allocator.checking import check
    from allocator.reporting import files
    from allocator.reporting.reading_order import whole
    from allocator.reporting.text import show

    problem, known = read_problem(folder), Layout.from_json(layout.read_text(encoding="utf-8"))
    check(problem, known)
    if out is not None:
        out.mkdir(exist_ok=True)
        for name, content in files.contents(problem, known).items():
            (out / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    show(whole(problem, known), io.StringIO())


def table(repeats: int, limit_s: float) -> Iterator[str]:
    """Lines of a Markdown table, each as soon as it is known."""
    yield "| | without files s | with files s | files s | asked s |"
    yield "|---|---|---|---|---|"
    with tempfile.TemporaryDirectory() as place:
        folder, layout, out = (Path(place) / name for name in ("problem", "layout.json", "out"))
        yield _row("hill-climber", compared([sys.executable, "-m", "allocator", "solve", str(CLIMBER)], out, repeats))
        write(machine(SIZE, FEATURES), folder)
        layout.write_text(solve(read_problem(folder), time_limit_s=limit_s).to_json(), encoding="utf-8")
        again = [sys.executable, "-m", "benchmarks.papers", "--finish", str(folder), str(layout)]
        yield _row("100 loads", compared(again, Path(place) / "other", repeats))


def _row(name: str, found: tuple[float, float]) -> str:
    without, with_files = found
    return f"| {name} | {without:.2f} | {with_files:.2f} | {with_files - without:.2f} | {MOST_S[name]:.1f} |"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--repeats", type=int, default=5, help="runs of each; medians are shown")
    parser.add_argument("--limit", type=float, default=40.0, help="seconds for the layout of 100 loads")
    parser.add_argument("--finish", nargs=2, type=Path, metavar=("FOLDER", "LAYOUT"), help="one finish, here")
    parser.add_argument("--out", type=Path, help="with --finish: where the files go")
    args = parser.parse_args()
    if args.finish:
        finished(*args.finish, args.out)
        return
    for line in table(args.repeats, args.limit):
        print(line, flush=True)


if __name__ == "__main__":
    main()

"""How long a command takes to end once it is told to: by Ctrl-C, SIGTERM, SIGHUP, at any moment.

python -m benchmarks.interrupted [COMMAND ...] [--size 300/20/20] [--kind full] [--after 0.2 0.5 1 2 3 5] [--bundles]

Each line is one process: it is let run for so many seconds, is sent a signal, and has to end with 130 and without a
traceback. ``late`` marks what took more than a second. What else runs on the machine counts: look at the processor
seconds beside it.
"""

from __future__ import annotations

import argparse
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from allocator.problem import Bundling
from allocator.search.solve import solve
from benchmarks.folders import write
from benchmarks.machines import Size, machine
from benchmarks.registry import KINDS

COMMANDS = ("solve", "explain", "tradeoff", "revise", "check", "report")
NEEDS_LAYOUT = frozenset({"revise", "check", "report"})
SIGNALS = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
MOST_S = 1.0
GIVEN_UP_S = 60.0


def arguments(command: str, folder: Path, layout: Path, out: Path) -> list[str]:
    """What a command is called with."""
    given = [command, str(folder)]
    if command in NEEDS_LAYOUT:
        given.append(str(layout))
    if command in ("solve", "revise", "report"):
        given += ["--out", str(out)]
    return [*given, "--headroom", "--with-moves"] if command == "check" else given


def interrupted(given: Sequence[str], after_s: float, sent: signal.Signals) -> dict[str, object]:
    """Run a command, stop it after a while; how long that took, and how it ended."""
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    with subprocess.Popen(
        [sys.executable, "-m", "allocator", *given], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        time.sleep(after_s)
        over = process.poll() is not None
        began = time.monotonic()
        process.send_signal(sent)
        try:
            _, err = process.communicate(timeout=GIVEN_UP_S)
        except subprocess.TimeoutExpired:
            process.kill()
            _, err = process.communicate()
    took_s = time.monotonic() - began
    now = resource.getrusage(resource.RUSAGE_CHILDREN)
    return {
        "took_s": took_s,
        "cpu_s": now.ru_utime + now.ru_stime - spent.ru_utime - spent.ru_stime,
        "code": process.returncode,
        "over": over,
        "traceback": "Traceback" in err,
        "said": err.strip().splitlines()[-1:] or [""],
    }


def table(
    commands: Sequence[str], size: Size, kind: str, after: Sequence[float], *, bundles: bool, layout_s: float = 30.0
) -> Iterator[str]:
    """Lines of a Markdown table, each as soon as it is known."""
    problem = machine(size, KINDS[kind])
    if bundles:
        problem = replace(problem, margins=replace(problem.margins, bundle=Bundling.HEAT))
    with tempfile.TemporaryDirectory() as where:
        folder, layout = Path(where) / "problem", Path(where) / "layout.json"
        write(problem, folder)
        if NEEDS_LAYOUT & set(commands):
            layout.write_text(solve(problem, time_limit_s=layout_s).to_json(), encoding="utf-8")
        yield "| command | after s | signal | ended in s | cpu s | code | |"
        yield "|---|---|---|---|---|---|---|"
        for command in commands:
            for number, after_s in enumerate(after):
                sent = SIGNALS[number % len(SIGNALS)]
                r = interrupted(arguments(command, folder, layout, Path(where) / "out"), after_s, sent)
                late = float(str(r["took_s"])) > MOST_S
                marks = [word for word in ("traceback", "over") if r[word]] + ["late"] * late
                yield (
                    f"| {command} | {after_s:g} | {sent.name} | {r['took_s']:.2f} | {r['cpu_s']:.1f} | {r['code']} "
                    f"| {' '.join(marks)} |"
                )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("commands", nargs="*", default=list(COMMANDS), metavar="COMMAND", help=", ".join(COMMANDS))
    parser.add_argument("--size", type=Size.of, default=Size.of("300/20/20"))
    parser.add_argument("--kind", choices=KINDS, default="full")
    parser.add_argument("--after", type=float, nargs="+", default=[0.2, 0.5, 1.0, 2.0, 3.0, 5.0, 8.0, 13.0, 20.0])
    parser.add_argument("--bundles", action="store_true", help="wires heat each other")
    args = parser.parse_args()
    for line in table(args.commands, args.size, args.kind, args.after, bundles=args.bundles):
        print(line, flush=True)


if __name__ == "__main__":
    main()

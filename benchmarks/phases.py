"""Seconds of every phase at every size, beside a saved baseline.

python -m benchmarks.phases [SIZE ...] [--kinds plain full tight] [--save]
"""

from __future__ import annotations

import argparse
import json
import platform
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

from benchmarks.machines import Size
from benchmarks.registry import KINDS, PHASES, SIZES, Case, measure
from benchmarks.timing import yardstick_s

BASELINE = Path(__file__).with_name("baseline.json")
NAMES = (*PHASES, "process")
LEAST_S = 0.02
"""Below this a ratio says nothing."""

Measured = dict[str, dict[str, float]]


def table(cases: Sequence[Case], save: bool = False) -> list[str]:
    """A Markdown table: seconds and, in brackets, how many times the baseline's (1.00: as then)."""
    known, known_yardstick = _saved()
    yardstick = yardstick_s()
    scale = yardstick / known_yardstick if known_yardstick else 1.0
    measured = {str(case): measure(case) for case in cases}
    lines = [
        "| size | " + " | ".join(f"{name} s" for name in NAMES) + " |",
        "|---" * (len(NAMES) + 1) + "|",
    ]
    for case, seconds in measured.items():
        cells = (_cell(seconds[name], known.get(case, {}).get(name), scale) for name in NAMES)
        lines.append(f"| {case} | " + " | ".join(cells) + " |")
    if save:
        _save({**known, **measured}, yardstick)
    return lines


def _cell(seconds: float, known: float | None, scale: float) -> str:
    if known is None or max(known, seconds) < LEAST_S:
        return f"{seconds:.2f}"
    return f"{seconds:.2f} ({seconds / (known * scale):.2f})"


def _saved() -> tuple[Measured, float | None]:
    if not BASELINE.exists():
        return {}, None
    saved = json.loads(BASELINE.read_text(encoding="utf-8"))
    return saved["cpu_seconds"], saved["yardstick_s"]


def _save(measured: Measured, yardstick: float) -> None:
    """Write a baseline. Cases that were not run keep their seconds, so it is of one machine only."""
    body = {
        "python": platform.python_version(),
        "highspy": version("highspy"),
        "yardstick_s": round(yardstick, 4),
        "cpu_seconds": {
            case: {name: round(seconds[name], 3) for name in NAMES} for case, seconds in sorted(measured.items())
        },
    }
    BASELINE.write_text(json.dumps(body, indent=1) + "\n", encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sizes", nargs="*", type=Size.of, default=SIZES, help="such as 60/3/6")
    parser.add_argument("--kinds", nargs="+", choices=KINDS, default=list(KINDS))
    parser.add_argument("--save", action="store_true", help="make this run the baseline")
    args = parser.parse_args()
    print("\n".join(table([Case(size, kind) for size in args.sizes for kind in args.kinds], args.save)))


if __name__ == "__main__":
    main()

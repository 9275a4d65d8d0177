"""Seconds until the command answers, and until each slow library is imported, in fresh interpreters.

.venv/bin/python -m benchmarks.startup [--repeats 5]
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import time

CASES = {
    "python (nothing)": "",
    "import allocator": "import allocator",
    "allocator --help": "import sys; sys.argv = ['allocator', '--help']\nfrom allocator.__main__ import main; main()",
    **{f"import {name}": f"import {name}" for name in ("typer", "rich", "numpy", "pandas", "pint", "networkx")},
    **{f"import {name}": f"import {name}" for name in ("pulp", "highspy")},
}


def seconds(code: str) -> float:
    """Wall time of one fresh interpreter that runs some code."""
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - begin


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--repeats", type=int, default=5, help="runs of each; the median is shown")
    repeats = parser.parse_args().repeats
    print(f"{'what':<20} {'median s':>9} {'least s':>9}")
    for name, code in CASES.items():
        seconds(code)  # fills the file cache
        times = [seconds(code) for _ in range(repeats)]
        print(f"{name:<20} {statistics.median(times):9.3f} {min(times):9.3f}")


if __name__ == "__main__":
    main()

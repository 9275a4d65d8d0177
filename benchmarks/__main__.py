"""The whole table of benchmarks, in Markdown.

python -m benchmarks [--quick] [--save]
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from benchmarks import growth, phases, registry, solvers, textbook


def show(title: str, lines: Iterable[str]) -> None:
    """Print one table as it grows."""
    print(f"\n## {title}\n", flush=True)
    for line in lines:
        print(line, flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--quick", action="store_true", help="small sizes and 10 s limits: a minute or two")
    parser.add_argument("--save", action="store_true", help="make the phases of this run the baseline")
    args = parser.parse_args()
    limit_s = 10.0 if args.quick else 60.0
    cases = [registry.Case(size, kind) for size in (registry.QUICK if args.quick else registry.SIZES)
             for kind in registry.KINDS]  # fmt: skip
    show("Phases (processor seconds; in brackets, times the baseline)", phases.table(cases, args.save))
    show("Against the textbook model", textbook.table(textbook.SIZES[:1] if args.quick else textbook.SIZES))
    sizes = solvers.SIZES[:1] if args.quick else solvers.SIZES
    show("Other solvers on our rows", solvers.table(sizes, ["plain", "full"], limit_s))
    sizes = growth.SIZES[:2] if args.quick else growth.SIZES
    show("Growth", growth.table(sizes, ["plain", "full"], limit_s))


if __name__ == "__main__":
    main()

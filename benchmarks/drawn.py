"""Any number of drawn problems: the engine against the oracles of the tests, its check against spoilt layouts.

    python -m benchmarks.drawn 20000 --jobs 2
    python -m benchmarks.drawn 2000 --bundles
    python -m benchmarks.drawn 150 --first 0 --oracles

Half of the draws are tiny and are tried in full as well; a fifth of all layouts are spoilt. With ``--bundles`` bundles
count in every draw, with ``--losing`` they cost loads volts that these do not have, with ``--beside`` direct loads,
given wires, starts and short circuits are drawn too; none of these is tried in full. With ``--oracles`` the oracles are
held against each other on few loads in bundles, which takes minutes for some draws. Ends with 1 if the engine, an
oracle or the check was at fault anywhere.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial

from tests.engine.agreement import Tally, compare, compare_crowded, compare_losing, compare_oracles
from tests.engine.draws import ALL, BESIDE, SINGLE, SMALL, TINY

CHUNK = 20


def plain(seed: int) -> Tally:
    """By turns tiny and small, every fourth with single loads only."""
    tiny = seed % 2 == 0
    features = SINGLE if seed % 4 == 3 else ALL
    return compare(seed, TINY if tiny else SMALL, features, try_all=tiny, damage=seed % 5 == 0)


def beside(seed: int) -> Tally:
    """By turns tiny and small, with all that there is beside circuits of loads that run for ever."""
    return compare(seed, TINY if seed % 2 == 0 else SMALL, ALL | BESIDE, try_all=False, damage=seed % 5 == 0)


def chunk(one: Callable[[int], Tally], first: int, count: int) -> Tally:
    """A run of seeds."""
    tally = Tally()
    for seed in range(first, first + count):
        try:
            tally.add(one(seed))
        except Exception as error:  # one draw that fails must not hide what the others show
            tally.add(Tally(drawn=1, faults=[f"seed {seed}: {type(error).__name__}: {error}"]))
    return tally


def main() -> int:
    """Run, report as it goes, sum up."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", type=int, nargs="?", default=1000, help="how many problems")
    parser.add_argument("--first", type=int, default=1_000_000, help="seed of the first")
    parser.add_argument("--jobs", type=int, default=2, help="processes")
    kind = parser.add_mutually_exclusive_group()
    kind.add_argument("--bundles", action="store_const", dest="one", const=compare_crowded, help="bundles count in all")
    kind.add_argument("--losing", action="store_const", dest="one", const=compare_losing, help="warm drops count")
    kind.add_argument("--oracles", action="store_const", dest="one", const=compare_oracles, help="without the engine")
    kind.add_argument("--beside", action="store_const", dest="one", const=beside, help="direct, given, starts, shorts")
    parser.set_defaults(one=plain)
    args = parser.parse_args()
    total, began = Tally(), time.monotonic()
    firsts = range(args.first, args.first + args.count, CHUNK)
    counts = [min(CHUNK, args.first + args.count - first) for first in firsts]
    with ProcessPoolExecutor(args.jobs) as pool:
        for n, tally in enumerate(pool.map(partial(chunk, args.one), firsts, counts), start=1):
            total.add(tally)
            for fault in tally.faults:
                print(fault, flush=True)
            if n % 10 == 0:
                print(f"{total.drawn} drawn, {total.share:.0%} feasible, {len(total.faults)} faults", file=sys.stderr)
    print(f"problems drawn      {total.drawn}")
    print(f"with a layout       {total.feasible} ({total.share:.1%})")
    if args.one in (compare_crowded, compare_losing, compare_oracles):
        print(f"other by bundles    {total.bundled}")
        print(f"too near a limit    {total.ties}")
    print(f"layouts spoilt      {total.damages.total()}")
    for name, count in sorted(total.damages.items()):
        print(f"  {name:<18}{count}")
    print(f"faults              {len(total.faults)}")
    print(f"seconds             {time.monotonic() - began:.0f} in {args.jobs} processes")
    return 1 if total.faults else 0


if __name__ == "__main__":
    sys.exit(main())

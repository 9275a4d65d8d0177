"""A placeholder unit: as many outputs as a schedule calls for, so that a first solve has something to fill."""

from __future__ import annotations

import textwrap
from collections import Counter
from math import ceil

from allocator.importing.amperes import count, current_a
from allocator.importing.schedule import Schedule
from allocator.output_count import RESERVE, STEPS_A, OutputSteps, with_reserve

TYPE = "assumed type"
LARGEST_UNIT_A = 100.0  # more than this is shared out over several: common practice, no source
UNKNOWN_A = 10.0  # what an item whose draw is not known yet is taken as, with an output of the largest step
_WIDTH = 110
_WIRE = ((6.3, "0.5 mm2", "2.5 mm2"), (16.0, "0.5 mm2", "6 mm2"), (1e9, "1 mm2", "10 mm2"))


def number_of_units(schedule: Schedule) -> int:
    """How many units the current of a schedule is shared out over."""
    return max(1, ceil(_amperes(schedule) / LARGEST_UNIT_A))


def unit_type_toml(schedule: Schedule) -> str:
    """The ``[[unit_types]]`` table of the assumed unit."""
    units = number_of_units(schedule)
    rating_a = max(5.0, 5.0 * ceil(_amperes(schedule) * (1.0 + RESERVE) / units / 5.0))
    rows = []
    pin = 1
    for step, (outputs, parallel) in sorted(_classes(schedule).items(), reverse=True):
        each = max(parallel, ceil(with_reserve(outputs, RESERVE) / units))
        pins = ", ".join(f'"{number}"' for number in range(pin, pin + each))
        pin += each
        rows.append(
            f'  {{ class = "{step:g} A", continuous = "{step:g} A",\n'
            + textwrap.fill(f"pins = [{pins}],", _WIDTH, initial_indent=" " * 4, subsequent_indent=" " * 6)
            + f'\n    peaks = [["{3 * step:g} A", "0.5 s"]], wire = {_wire(step)}, parallel = {max(parallel, 1)},'
            ' trip_step = "0.5 A" },'
        )
    return "\n".join(
        [
            "[[unit_types]]",
            f'name = "{TYPE}"',
            f'continuous = "{rating_a:g} A"',
            "outputs = [",
            *rows,
            "]",
        ]
    )


def _amperes(schedule: Schedule) -> float:
    return sum((current_a(schedule, item) or UNKNOWN_A) * (count(item) or 1) for item in schedule.items)


def _classes(schedule: Schedule) -> dict[float, tuple[int, int]]:
    """Outputs by step of rating, and the most of them that one load takes in parallel."""
    outputs: Counter[float] = Counter()
    parallel: dict[float, int] = {}
    for item in schedule.items:
        amperes = current_a(schedule, item)
        step, each = (STEPS_A[-1], 1) if amperes is None else OutputSteps().outputs(amperes)
        outputs[step] += each * (count(item) or 1)
        parallel[step] = max(parallel.get(step, 1), each)
    return {step: (outputs[step], parallel[step]) for step in outputs}


def _wire(step_a: float) -> str:
    low, high = next((low, high) for limit, low, high in _WIRE if step_a <= limit)
    return f'["{low}", "{high}"]'

"""The rows of each family on a tiny problem, as text.

``python -m tests.model.golden`` writes all files anew: read what changed before you keep it.
"""

from __future__ import annotations

from pathlib import Path

from allocator.model import Model, build
from allocator.model.constraints import CONSTRAINTS
from allocator.options import Option
from allocator.reading import read_problem
from tests.case_folders import problem_folder
from tests.model.cases import whole

ROWS = Path(__file__).parent / "rows"
PROBLEM_OF = {
    "as_stated": "as_stated/fails",
    "bundle_heat_rows": "bundle_heat_rows/fails",
    "cables_side_by_side": "cables_side_by_side/fails",
    "copies_in_order": "units_of_a_kind.always/fits",
    "drops_between_warm_bundles": "drops_between_warm_bundles/fails",
    "enough_outputs": "enough_outputs.parallel/fits",
    "open_capacity": "unit_current/fits",
    "open_feeds": "feed_current/fits",
    "units_at_a_site": "units_at_a_site/fails",
}
"""The problem that shows the family's rows, where it is not the one of the family's own case that fits."""


def text_of(family: str) -> str:
    """What the columns in the rows mean, and the rows of one family."""
    name = f"families/{PROBLEM_OF.get(family, f'{family}/fits')}"
    model = build(whole(read_problem(problem_folder(name))))
    rows = [row for name, row in model.rows if name == family]
    used = sorted({variable for row in rows for variable, _ in row.terms}, key=lambda v: v.index)
    meant = meanings(model)
    lines = [f"problem tests/cases/{name}", ""]
    lines += [f"{v.name}: {meant[v.name]}" for v in used if v.name in meant]
    return "\n".join([*lines, "", *map(str, rows)]) + "\n"


def meanings(model: Model) -> dict[str, str]:
    """Words for the columns that are not named after what they count."""
    option_list, v = model.option_list, model.variables
    words = {v.take[o.index].name: option_words(model, o) for o in option_list.options}
    words |= {v.fit[s.index].name: s.name for s in option_list.slots}
    words |= {v.feed[f.index].name: f"{f.wire.size}, {f.length_m:g} m, {f.capacity_ma} mA" for f in option_list.feeds}
    words |= {v.direct[d.index].name: f"{d.load.name}, {d.plan.copper_g:g} g" for d in option_list.direct}
    return words


def option_words(model: Model, option: Option) -> str:
    """Loads, outputs, unit and copper of an option."""
    option_list = model.option_list
    slot = option_list.slots[option.slot]
    loads = " + ".join(f"{n} x {option_list.load_groups[g].sample.item}" for g, n in option.candidate.members)
    classes = ", ".join(
        group.output.name if group.bank is None else f"{group.output.name} of {group.bank}"
        for group in (slot.classes[q] for q in sorted(option.classes))
    )
    return f"{loads} on {option.outputs} of {classes}, {slot.name}, {option.copper_g:g} g"


def write() -> None:
    """Write the golden text of every family."""
    ROWS.mkdir(exist_ok=True)
    for family in CONSTRAINTS:
        (ROWS / f"{family}.txt").write_text(text_of(family), encoding="utf-8")


if __name__ == "__main__":
    write()

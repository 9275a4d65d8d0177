"""The variables of the model, one container for all."""

from __future__ import annotations

from dataclasses import dataclass, field

from allocator.model.rows import Variable
from allocator.options import Option, OptionList, Slot
from allocator.options.lazy_rows import WarmBundle

Term = tuple[Variable, float]


@dataclass
class Variables:
    """Columns by what they mean.

    ``take[o]``: how often option *o* is taken. ``fit[s]``: slot *s* is used. ``feed[f]``: feed option *f* is used.
    ``spare[s, q]``: outputs of class *q* kept free at slot *s* (only where more than one class may hold them).
    ``unit_of[w, s]``: slot *s* feeds all loads of together word *w*. ``protect[s, b, m]`` and ``excess[s, b, m, i]``:
    the dual pair of the spread of group *i* (Bertsimas and Sim 2004) in bank *b* (None: the whole unit).
    ``lost[f, b, s]``: loads of function *f* at slot *s* that the failure of bulkhead *b* takes away.
    ``direct[d]``: option *d* of a load fused at the source. ``present[e, n, k]``: any of the alike wires *k* of alike
    loads *n* lies in segment *e*; ``held`` has those with a row that says so. ``warm[e, m, c]``: the middle of the
    bundle in segment *e* is at *c* degC or above in condition *m*.
    """

    option_list: OptionList
    columns: list[Variable] = field(default_factory=list)
    take: list[Variable] = field(default_factory=list)
    fit: list[Variable] = field(default_factory=list)
    feed: list[Variable] = field(default_factory=list)
    spare: dict[tuple[int, int], Variable] = field(default_factory=dict)
    unit_of: dict[tuple[str, int], Variable] = field(default_factory=dict)
    protect: dict[tuple[int, str | None, int], Variable] = field(default_factory=dict)
    excess: dict[tuple[int, str | None, int, int], Variable] = field(default_factory=dict)
    lost: dict[tuple[str, str, int], Variable] = field(default_factory=dict)
    direct: list[Variable] = field(default_factory=list)
    present: dict[tuple[int, int, int], Variable] = field(default_factory=dict)
    held: set[tuple[int, int, int]] = field(default_factory=set)
    warm: dict[WarmBundle, Variable] = field(default_factory=dict)

    def add(self, name: str, upper: float | None = 1.0, integer: bool = True) -> Variable:
        """A new column."""
        variable = Variable(len(self.columns), name, upper, integer)
        self.columns.append(variable)
        return variable

    def spare_terms(self, slot: Slot, number: int) -> list[Term]:
        """Outputs of class ``number`` of a slot that are kept free, as terms."""
        own = self.spare.get((slot.index, number))
        if own is not None:
            return [(own, 1.0)]
        asked = dict(slot.unit.spare).get(slot.classes[number].output.name, 0)
        return [(self.fit[slot.index], float(asked))] if asked and not slot.classes[number].pinned else []


def spare_classes(slot: Slot, name: str) -> list[int]:
    """Classes of a slot that may hold the spare outputs asked for under a class name."""
    return [n for n, group in enumerate(slot.classes) if group.output.name == name and not group.pinned]


def most_often(option_list: OptionList, option: Option) -> int:
    """How often an option may be taken at most."""
    return min(len(option_list.load_groups[g].loads) // n for g, n in option.candidate.members)


def variables(option_list: OptionList) -> Variables:
    """All variables but those that single constraint families add for themselves."""
    made = Variables(option_list)
    for option in option_list.options:
        made.take.append(made.add(f"x{option.index}", float(most_often(option_list, option))))
    for slot in option_list.slots:
        made.fit.append(made.add(f"fit{slot.index}"))
    for feed in option_list.feeds:
        made.feed.append(made.add(f"feed{feed.slot}_{feed.index}"))
    for direct in option_list.direct:
        made.direct.append(made.add(f"direct{direct.index}"))
    for slot in option_list.slots:
        for name, _ in slot.unit.spare:
            classes = spare_classes(slot, name)
            if len(classes) > 1:
                for number in classes:
                    made.spare[slot.index, number] = made.add(
                        f"spare{slot.index}_{number}", float(len(slot.classes[number].pins))
                    )
    return made

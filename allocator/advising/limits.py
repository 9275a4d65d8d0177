"""The limits that rows of the model stand for, in the words of the problem."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

from allocator.advising.changes import figure
from allocator.choosing.families.failures import may_fail
from allocator.choosing.rows import Row
from allocator.choosing.variables import Variables


@dataclass(frozen=True, slots=True)
class Limit:
    """What a row holds: ``key`` is the same for all conditions of one limit, ``amount`` is in ``unit``.

    ``scale`` is how many of the row's own figures make one ``unit``: milliamperes, or pieces.
    """

    key: tuple[Hashable, ...]
    name: str
    amount: float
    unit: str
    scale: float = 1.0
    condition: str | None = None

    @property
    def kind(self) -> str:
        """What kind of limit it is: the first part of its key."""
        return str(self.key[0])

    @property
    def where(self) -> str:
        """The limit, and the condition that it is held in."""
        return self.name if self.condition is None else f"{self.name} in condition {self.condition}"

    def over(self, amount: float) -> str:
        """By how much it is passed."""
        if self.kind == "bundle":
            return f"{self.where}: {counted(amount, self.unit)} more than those in it bear"
        if self.unit == "A":
            return f"{self.where}: {f'{amount:.3f}'.rstrip('0').rstrip('.')} A over {figure(self.amount)} A"
        return f"{self.where}: {counted(amount, self.unit)} over {figure(self.amount)}"


def counted(amount: float, unit: str) -> str:
    """A number of things, such as '1 output' or '2 outputs'."""
    return f"{amount:.0f} {unit}" if round(amount) == 1 else f"{amount:.0f} {_MANY[unit]}"


def many(unit: str) -> str:
    """A unit as it heads a column: amperes, or things counted."""
    return _MANY.get(unit, unit)


_MANY = {
    "output": "outputs",
    "unit": "units",
    "load lost": "loads lost",
    "wire": "wires",
    "feed": "feeds",
}


def limit_of(v: Variables, family: str, row: Row) -> Limit | None:
    """The limit that a row holds; None where it is no limit but part of how the model is built."""
    reader = _READERS.get(family)
    return None if reader is None else reader(v, row)


def _inside(row: Row) -> str:
    return row.name[row.name.index("[") + 1 : -1]


def _slot_name(v: Variables, slot: int) -> str:
    own = v.pricing.slots[slot]
    return f"unit {own.unit.name} at {own.site}"


def _condition(v: Variables, number: str) -> str | None:
    conditions = v.pricing.problem.conditions
    return conditions[int(number)] if len(conditions) > 1 else None


def _unit(v: Variables, row: Row) -> Limit:
    slot, condition = _inside(row).split(",")
    own = v.pricing.slots[int(slot)]
    amount = (own.limit_ma - own.spare_current_ma) / 1000.0
    name = _slot_name(v, int(slot))
    if own.spare_current_ma:
        name += f" with {figure(own.spare_current_ma / 1000.0)} A kept in reserve"
    return Limit(("unit", int(slot)), name, amount, "A", 1000.0, _condition(v, condition))


def _bank(v: Variables, row: Row) -> Limit:
    slot, rest = _inside(row).split(",", 1)
    bank, condition = rest.rsplit(",", 1)
    amount = dict(v.pricing.slots[int(slot)].bank_limit_ma)[bank] / 1000.0
    name = f"bank {bank} of {_slot_name(v, int(slot))}"
    return Limit(("bank", int(slot), bank), name, amount, "A", 1000.0, _condition(v, condition))


def _feed(v: Variables, row: Row) -> Limit:
    slot, condition = _inside(row).split(",")
    own = v.pricing.slots[int(slot)]
    most = max((f.capacity_ma for f in v.pricing.feeds_by_slot[int(slot)]), default=0) - own.spare_current_ma
    name = f"heaviest feed of {_slot_name(v, int(slot))}"
    return Limit(("feed", int(slot)), name, most / 1000.0, "A", 1000.0, _condition(v, condition))


def _start(v: Variables, row: Row) -> Limit | None:
    if not row.name.startswith("start["):
        return None
    slot, group, condition = _inside(row).split(",")
    # only what the fuses of the feeds stand is taken off
    most = -min((c for _, c in row.terms if c < 0.0), default=0.0) / 1000.0
    name = f"start of {v.pricing.alike[int(group)].sample.name} behind the feed fuse of {_slot_name(v, int(slot))}"
    return Limit(("start", int(slot), int(group)), name, most, "A", 1000.0, _condition(v, condition))


def _outputs(v: Variables, row: Row) -> Limit:
    slot, union = _inside(row).split(",")
    own = v.pricing.slots[int(slot)]
    classes = [own.classes[int(q)] for q in union.split("+")]
    names = list(dict.fromkeys(group.output.name for group in classes))
    banks = {group.bank for group in classes}
    bank = f" of bank {next(iter(banks))}" if len(banks) == 1 and None not in banks else ""
    supply = sum(len(group.pins) for group in classes)
    spare = sum(dict(own.unit.spare).get(name, 0) for name in names) if not any(g.pinned for g in classes) else 0
    kept = f" with {spare} kept spare" if spare else ""
    pinned = f" {classes[0].pins[0]}" if len(classes) == 1 and classes[0].pinned else ""
    name = f"outputs{pinned} of class {' or '.join(names)}{bank} on {_slot_name(v, int(slot))}{kept}"
    return Limit(("outputs", row.name), name, float(max(0, supply - spare)), "output")


def _spare(v: Variables, row: Row) -> Limit | None:
    slot, name = _inside(row).split(",", 1)
    if row.right or len(row.terms) != 1:
        return None
    return Limit(("spare", row.name), f"outputs of class {name} spare on {_slot_name(v, int(slot))}", 0.0, "output")


def _units(v: Variables, row: Row) -> Limit:
    kind = v.pricing.kinds[int(_inside(row))]
    names = " or ".join(unit.name for unit in kind.units)
    if row.name.startswith("always"):
        return Limit(("always", row.name), f"unit {names}, which must be fitted, without a place", 0.0, "unit")
    return Limit(("units", row.name), f"units like {kind.sample.name}", float(len(kind.units)), "unit")


def _site(v: Variables, row: Row) -> Limit:
    site = _inside(row)
    return Limit(("site", site), f"units at {site}", float(v.pricing.problem.place[site].units), "unit")


def _survive(v: Variables, row: Row) -> Limit | None:
    if not row.name.startswith("survive["):
        return None
    for function in v.pricing.problem.functions:
        if _inside(row).startswith(f"{function.name},"):
            kind, what = _inside(row).removeprefix(f"{function.name},").split(" ", 1)
            if kind == "unit":
                what = _slot_name(v, int(what)).removeprefix("unit ")
            elif kind == "bank":
                slot, bank = what.split(" ", 1)
                what = f"{bank} of {_slot_name(v, int(slot))}" if bank != "None" else f"of {_slot_name(v, int(slot))}"
            name = f"function {function.name} after the failure of {kind} {what}"
            return Limit(("survive", row.name), name, float(may_fail(v, function)), "load lost")
    return None


def _contacts(v: Variables, row: Row) -> Limit:
    name, sets = _inside(row).rsplit(",", 1)
    own = [v.pricing.problem.bulkhead[name].contacts[int(n)] for n in sets.split("+")]
    sizes = " or ".join(f"{figure(c.wire_mm2[0])} to {figure(c.wire_mm2[1])} mm2" for c in own)
    count = sum(c.count for c in own)
    return Limit(("contacts", row.name), f"contacts for {sizes} of bulkhead {name}", float(count), "wire")


def _studs(v: Variables, row: Row) -> Limit:
    bulkhead = v.pricing.problem.bulkhead[_inside(row)]
    return Limit(("studs", bulkhead.name), f"studs of bulkhead {bulkhead.name}", float(bulkhead.studs), "feed")


def _bundle(v: Variables, row: Row) -> Limit | None:
    if not row.name.startswith("wires["):
        return None
    segment = v.pricing.problem.segments[int(_inside(row))]
    return Limit(("bundle", segment.name), f"bundle in segment {segment.name}", 0.0, "wire")


_READERS: dict[str, Callable[[Variables, Row], Limit | None]] = {
    "unit_current": _unit,
    "bank_current": _bank,
    "feed_current": _feed,
    "feed_starts": _start,
    "enough_outputs": _outputs,
    "spare_outputs": _spare,
    "units_of_a_kind": _units,
    "units_at_a_site": _site,
    "survive_source": _survive,
    "survive_unit": _survive,
    "survive_bank": _survive,
    "survive_bulkhead": _survive,
    "enough_contacts": _contacts,
    "enough_studs": _studs,
    "room_in_bundles": _bundle,
}

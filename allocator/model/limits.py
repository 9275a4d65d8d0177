"""The limits that rows of the model stand for, in the words of the problem."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from allocator.model.bundle_excess import Rule
from allocator.model.constraints.failures import may_fail
from allocator.model.constraints.starts import stood_ma
from allocator.model.keys import (
    AlwaysFitted,
    BankCurrent,
    BesideCable,
    BundleHeat,
    BundleLoading,
    BundleWires,
    Contacts,
    FeedCurrent,
    FeedStart,
    Key,
    Outputs,
    SideBySide,
    SpareLacking,
    Studs,
    SurviveBank,
    SurviveBulkhead,
    SurviveSource,
    SurviveUnit,
    UnitCurrent,
    UnitsAtSite,
    WarmDrop,
)
from allocator.model.rows import Row
from allocator.model.variables import Variables, spare_classes
from allocator.problem import Problem
from allocator.problem.as_written import figure
from allocator.wiring import surroundings_of


class LimitKind(StrEnum):
    """What a limit is on."""

    UNIT = "unit"
    BANK = "bank"
    FEED = "feed"
    START = "start"
    OUTPUTS = "outputs"
    SPARE = "spare"
    SITE = "site"
    ALWAYS = "always"
    SURVIVE = "survive"
    CONTACTS = "contacts"
    STUDS = "studs"
    TOGETHER = "together"
    BUNDLE = "bundle"
    BESIDE_CABLE = "beside cable"
    BUNDLE_WIRES = "bundle wires"
    BUNDLE_LOADING = "bundle loading"
    CABLES = "cables"
    WARM_DROP = "warm drop"


@dataclass(frozen=True, slots=True)
class LimitKey:
    """Which limit it is, whatever the condition.

    ``at`` is the number of a slot, unit group or segment, or the name of a bulkhead, site or together word; of a
    function, the key of its row. ``of`` tells limits of one kind there apart: a bank, a class, a group of loads, or
    several output classes or contact sets.
    """

    kind: LimitKind
    at: int | str | Key
    of: str | int | tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """What a row holds: ``key`` is the same for all conditions of one limit, ``amount`` is in ``unit``.

    ``scale`` is how many of the row's own figures make one ``unit``: milliamperes, or pieces.
    """

    key: LimitKey
    name: str
    amount: float
    unit: str
    scale: float = 1.0
    condition: str | None = None

    @property
    def kind(self) -> LimitKind:
        """What it is on."""
        return self.key.kind

    @property
    def where(self) -> str:
        """The limit, and the condition that it is held in."""
        return self.name if self.condition is None else f"{self.name} in condition {self.condition}"

    @property
    def counts(self) -> bool:
        """Whether it is on a number of things."""
        return self.unit in _MANY

    def over(self, amount: float) -> str:
        """By how much it is exceeded."""
        if self.unit == "W/m":
            return f"{self.where}: {watts(amount)} over {watts(self.amount)}"
        if self.unit == "A":
            return f"{self.where}: {f'{amount:.3f}'.rstrip('0').rstrip('.')} A over {figure(self.amount)} A"
        if self.unit == "V":
            return f"{self.where}: {volts(amount)} over {volts(self.amount)}"
        return f"{self.where}: {counted(amount, self.unit)} over {figure(self.amount)}"


def counted(amount: float, unit: str) -> str:
    """A number of things, such as '1 output' or '2 outputs'."""
    return f"{amount:.0f} {unit}" if round(amount) == 1 else f"{amount:.0f} {_MANY[unit]}"


def watts(amount: float) -> str:
    """Heat of a bundle, to a tenth of a watt a metre; less than that to two digits."""
    return f"{watts_figure(amount)} W/m"


def watts_figure(amount: float) -> str:
    """The same without its unit."""
    return f"{amount:.1f}" if amount >= 0.1 else f"{amount:.2g}"


def volts(amount: float) -> str:
    """A drop to two digits: it may be exceeded by little."""
    return f"{volts_figure(amount)} V"


def volts_figure(amount: float) -> str:
    """The same without its unit."""
    return f"{amount:.2g}"


def many(unit: str) -> str:
    """A unit as the heading of a column: amperes, or things counted."""
    return _MANY.get(unit, unit)


_MANY = {
    "output": "outputs",
    "unit": "units",
    "load": "loads",
    "load lost": "loads lost",
    "wire": "wires",
    "feed": "feeds",
    "cable": "cables",
}


def limit_of(v: Variables, row: Row) -> Limit | None:
    """The limit that a row holds; None where it is no limit but part of how the model is built.

    The number of units of a kind is none: what those lack says more, and another unit is a way out.
    """
    match row.key:
        case UnitCurrent(slot, condition):
            return _unit(v, slot, condition)
        case BankCurrent(slot, bank, condition):
            return _bank(v, slot, bank, condition)
        case FeedCurrent(slot, condition):
            return _feed(v, slot, condition)
        case FeedStart(slot, group, condition):
            return _start(v, slot, group, condition)
        case Outputs(slot, classes):
            return _outputs(v, slot, classes)
        case SpareLacking(slot, output):
            return _spare(v, slot, output)
        case AlwaysFitted() | UnitsAtSite():
            return _fitted(v, row.key)
        case SurviveSource() | SurviveUnit() | SurviveBank() | SurviveBulkhead():
            return _survive(v, row.key)
        case Contacts(bulkhead, sets):
            return _contacts(v, bulkhead, sets)
        case Studs(bulkhead):
            count = float(v.option_list.problem.bulkhead[bulkhead].studs)
            return Limit(LimitKey(LimitKind.STUDS, bulkhead), f"studs of bulkhead {bulkhead}", count, "feed")
        case Apart(word):
            name = f"loads of together '{word}' on a different unit from the rest"
            return Limit(LimitKey(LimitKind.TOGETHER, word), name, 0.0, "load")
        case BundleHeat() | WarmDrop() | BesideCable() | BundleWires() | BundleLoading() | SideBySide():
            return _in_segment(v, row, row.key)
    return None


def bundle_limit(problem: Problem, rule: Rule, segment: int, amount: float, condition: int | None = None) -> Limit:
    """The limit that a rule on a bundle, or on cables side by side, is in a segment.

    Parameters
    ----------
    problem
        The problem.
    rule
        The rule.
    segment
        Number of the segment.
    amount
        The limit: W/m, A, V or a count, as the rule has it.
    condition
        Number of the operating condition; None where it holds in all.
    """
    name = problem.segments[segment].name
    names = {
        Rule.HEAT: (f"bundle {name}", "W/m"),
        Rule.BESIDE_CABLE: (f"wires of bundle {name} that are too small to lie beside a cable", "wire"),
        Rule.WIRES: (f"wires of bundle {name}", "wire"),
        Rule.LOADING: (f"loading of bundle {name}", "A"),
        Rule.DROP: (f"voltage drop of wires warmed in bundle {name}", "V"),
        Rule.CABLES: (f"cables side by side in segment {name}", "cable"),
    }
    held = None if condition is None or len(problem.conditions) == 1 else problem.conditions[condition]
    digits = 6 if rule is Rule.DROP else 3
    return Limit(
        LimitKey(KINDS_OF_BUNDLE[rule], segment), names[rule][0], round(amount, digits), names[rule][1], 1.0, held
    )


KINDS_OF_BUNDLE = {
    Rule.HEAT: LimitKind.BUNDLE,
    Rule.BESIDE_CABLE: LimitKind.BESIDE_CABLE,
    Rule.WIRES: LimitKind.BUNDLE_WIRES,
    Rule.LOADING: LimitKind.BUNDLE_LOADING,
    Rule.CABLES: LimitKind.CABLES,
    Rule.DROP: LimitKind.WARM_DROP,
}
"""Kinds of limit on what lies in one segment."""


@dataclass(frozen=True, slots=True)
class Apart(Key):
    """Loads of a together word that are fed by another unit than the rest: a row of the eased model alone."""

    label: ClassVar[str] = "apart"
    word: str


def _in_segment(
    v: Variables, row: Row, key: BundleHeat | WarmDrop | BesideCable | BundleWires | BundleLoading | SideBySide
) -> Limit:
    """What a row on a bundle holds, with an amount to weigh it by: the exact one depends on the solution."""
    problem, e = v.option_list.problem, key.segment
    match key:
        case BundleHeat(condition=condition, step=step, beside=beside):
            around = surroundings_of(problem, e)
            assert around is not None  # there would be no such row
            allowed = around.allowed_w_m(v.option_list.lazy.bundles[e][step], beside=beside)
            return bundle_limit(problem, Rule.HEAT, e, allowed, condition)
        case WarmDrop():
            return bundle_limit(problem, Rule.DROP, e, 0.0)
        case BesideCable():
            return bundle_limit(problem, Rule.BESIDE_CABLE, e, 0.0)
        case BundleWires():
            return bundle_limit(problem, Rule.WIRES, e, float(problem.stated_of(problem.segments[e])[0]))
        case BundleLoading(condition=condition):
            # the most room that a wire may leave of its ampacity, for each wire that there may be
            most = -min((c for _, c in row.terms), default=0.0) * problem.stated_of(problem.segments[e])[0]
            return bundle_limit(problem, Rule.LOADING, e, max(most, 0.0), condition)
        case SideBySide():
            return bundle_limit(problem, Rule.CABLES, e, 1.0)


def _slot_name(v: Variables, slot: int) -> str:
    own = v.option_list.slots[slot]
    return f"unit {own.unit.name} at {own.site}"


def _condition(v: Variables, number: int) -> str | None:
    conditions = v.option_list.problem.conditions
    return conditions[number] if len(conditions) > 1 else None


def _unit(v: Variables, slot: int, condition: int) -> Limit:
    own = v.option_list.slots[slot]
    amount = (own.limit_ma - own.spare_current_ma) / 1000.0
    name = _slot_name(v, slot)
    if own.spare_current_ma:
        name += f" with {figure(own.spare_current_ma / 1000.0)} A kept in reserve"
    return Limit(LimitKey(LimitKind.UNIT, slot), name, amount, "A", 1000.0, _condition(v, condition))


def _bank(v: Variables, slot: int, bank: str, condition: int) -> Limit:
    amount = dict(v.option_list.slots[slot].bank_limit_ma)[bank] / 1000.0
    name = f"bank {bank} of {_slot_name(v, slot)}"
    return Limit(LimitKey(LimitKind.BANK, slot, bank), name, amount, "A", 1000.0, _condition(v, condition))


def _feed(v: Variables, slot: int, condition: int) -> Limit:
    own = v.option_list.slots[slot]
    most = max((f.capacity_ma for f in v.option_list.feeds_by_slot[slot]), default=0) - own.spare_current_ma
    name = f"heaviest feed of {_slot_name(v, slot)}"
    return Limit(LimitKey(LimitKind.FEED, slot), name, most / 1000.0, "A", 1000.0, _condition(v, condition))


def _start(v: Variables, slot: int, group: int, condition: int) -> Limit:
    load, feeds = v.option_list.load_groups[group].sample, v.option_list.feeds_by_slot[slot]
    most = max((stood_ma(feed.fuse_a, load.inrush_s) for feed in feeds), default=0) / 1000.0
    name = f"start of {load.name} behind the feed fuse of {_slot_name(v, slot)}"
    return Limit(LimitKey(LimitKind.START, slot, group), name, most, "A", 1000.0, _condition(v, condition))


def _outputs(v: Variables, slot: int, numbers: tuple[int, ...]) -> Limit:
    own = v.option_list.slots[slot]
    classes = [own.classes[q] for q in numbers]
    names = list(dict.fromkeys(group.output.name for group in classes))
    banks = {group.bank for group in classes}
    bank = f" of bank {next(iter(banks))}" if len(banks) == 1 and None not in banks else ""
    supply = sum(len(group.pins) for group in classes)
    spare = sum(dict(own.unit.spare).get(name, 0) for name in names) if not any(g.pinned for g in classes) else 0
    kept = f" with {spare} kept spare" if spare else ""
    pinned = f" {classes[0].pins[0]}" if len(classes) == 1 and classes[0].pinned else ""
    name = f"outputs{pinned} of class {' or '.join(names)}{bank} on {_slot_name(v, slot)}{kept}"
    return Limit(LimitKey(LimitKind.OUTPUTS, slot, numbers), name, float(max(0, supply - spare)), "output")


def _spare(v: Variables, slot: int, output: str) -> Limit:
    own = v.option_list.slots[slot]
    free = sum(len(own.classes[q].pins) for q in spare_classes(own, output))
    asked = dict(own.unit.spare)[output]
    name = f"outputs of class {output} to be kept spare on {_slot_name(v, slot)}"
    # the row counts the unit that is fitted all the same
    return Limit(LimitKey(LimitKind.SPARE, slot, output), name, float(free), "output", 1.0 / (asked - free))


def _fitted(v: Variables, key: AlwaysFitted | UnitsAtSite) -> Limit:
    if isinstance(key, UnitsAtSite):
        return Limit(
            LimitKey(LimitKind.SITE, key.site),
            f"units at {key.site}",
            float(v.option_list.problem.place[key.site].units),
            "unit",
        )
    kind = v.option_list.unit_groups[key.kind]
    names = " or ".join(unit.name for unit in kind.units)
    return Limit(
        LimitKey(LimitKind.ALWAYS, key.kind), f"unit {names}, which must be fitted, without a place", 0.0, "unit"
    )


def _survive(v: Variables, key: SurviveSource | SurviveUnit | SurviveBank | SurviveBulkhead) -> Limit:
    match key:
        case SurviveSource(source=source):
            failed = f"source {source}"
        case SurviveUnit(slot=slot):
            failed = _slot_name(v, slot)
        case SurviveBank(slot=slot, bank=None):
            failed = f"bank of {_slot_name(v, slot)}"
        case SurviveBank(slot=slot, bank=bank):
            failed = f"bank {bank} of {_slot_name(v, slot)}"
        case SurviveBulkhead(bulkhead=bulkhead):
            failed = f"bulkhead {bulkhead}"
    function = next(f for f in v.option_list.problem.functions if f.name == key.function)
    name = f"function {function.name} after the failure of {failed}"
    return Limit(LimitKey(LimitKind.SURVIVE, key), name, float(may_fail(v, function)), "load lost")


def _contacts(v: Variables, name: str, sets: tuple[int, ...]) -> Limit:
    own = [v.option_list.problem.bulkhead[name].contacts[n] for n in sets]
    sizes = " or ".join(f"{figure(c.wire_mm2[0])} to {figure(c.wire_mm2[1])} mm2" for c in own)
    count = sum(c.count for c in own)
    return Limit(
        LimitKey(LimitKind.CONTACTS, name, sets), f"contacts for {sizes} of bulkhead {name}", float(count), "wire"
    )

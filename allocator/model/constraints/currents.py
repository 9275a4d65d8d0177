"""Currents of units, banks and feeds in every condition, in whole milliamperes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate

from allocator.model.keys import BankCurrent, FeedCurrent, UnitCurrent
from allocator.model.rows import Row, at_least, at_most
from allocator.model.variables import Term, Variables
from allocator.options import Option, OptionList, Slot, bank_matters


def telling_conditions(option_list: OptionList) -> list[int]:
    """Conditions in which the currents are not all matched or exceeded in another: only these can bind."""
    heat = [
        tuple((h[m], s[m]) for h, s in zip(option_list.heating_ma, option_list.spread_ma, strict=True))
        for m in range(len(option_list.problem.conditions))
    ]

    def covers(a: int, b: int) -> bool:
        return all(x[0] >= y[0] and x[1] >= y[1] for x, y in zip(heat[a], heat[b], strict=True))

    kept: list[int] = []
    for m in range(len(heat)):
        others = [n for n in range(len(heat)) if n != m]
        if not any(covers(n, m) and (n < m or not covers(m, n)) for n in others):
            kept.append(m)
    return kept


def slot_current(v: Variables, slot: Slot, bank: str | None, condition: int) -> list[Term]:
    """Current drawn from a slot (or from one of its banks) in a condition, the spread's worst case included.

    Parameters
    ----------
    v
        The variables of the model.
    slot
        The unit at its site.
    bank
        Name of the bank; None for the whole unit.
    condition
        Number of the operating condition, from 0.

    Returns
    -------
    list of Term
        Terms in mA.
    """
    option_list = v.option_list
    terms = [
        (v.take[o.index], float(sum(n * option_list.heating_ma[g][condition] for g, n in o.candidate.members)))
        for o in option_list.by_slot[slot.index]
        if bank is None or bank_of(slot, o) == bank
    ]
    protect = v.protect.get((slot.index, bank, condition))
    if protect is not None:
        terms.append((protect, float(option_list.problem.margins.robust)))
        terms += [(e, 1.0) for (s, b, m, _), e in v.excess.items() if (s, b, m) == (slot.index, bank, condition)]
    return terms


def most_drawn_ma(v: Variables, slot: Slot, condition: int) -> float:
    """What all loads that a slot could feed draw at once, and its spare current, in mA, whatever the limits."""
    option_list = v.option_list
    fed = {group for option in option_list.by_slot[slot.index] for group, _ in option.candidate.members}
    drawn = sum(
        len(option_list.load_groups[g].loads)
        * (option_list.heating_ma[g][condition] + option_list.spread_ma[g][condition])
        for g in fed
    )
    return float(drawn + slot.spare_current_ma)


def bank_of(slot: Slot, option: Option) -> str | None:
    """Bank of an option's outputs; None where they may come from more than one (then banks do not tell)."""
    banks = {slot.classes[q].bank for q in option.classes}
    return banks.pop() if len(banks) == 1 else None


def _telling_banks(option_list: OptionList, slot: Slot) -> tuple[tuple[str, int], ...]:
    return slot.bank_limit_ma if bank_matters(option_list.problem, slot) else ()


def unit_current(v: Variables) -> Iterator[Row]:
    """``sum_o a[o, m] x[o] + spare_current fit[s] <= limit[s] fit[s]`` per slot and condition."""
    for slot in v.option_list.slots:
        for m in telling_conditions(v.option_list):
            terms = slot_current(v, slot, None, m)
            yield at_most(
                UnitCurrent(slot.index, m),
                [*terms, (v.fit[slot.index], slot.spare_current_ma - slot.limit_ma)],
                0,
            )


def bank_current(v: Variables) -> Iterator[Row]:
    """``sum_(o in bank) a[o, m] x[o] <= limit[s, bank] fit[s]`` per slot, rated bank and condition."""
    for slot in v.option_list.slots:
        for bank, limit in _telling_banks(v.option_list, slot):
            for m in telling_conditions(v.option_list):
                terms = slot_current(v, slot, bank, m)
                if terms:
                    yield at_most(BankCurrent(slot.index, bank, m), [*terms, (v.fit[slot.index], -limit)], 0)


def feed_current(v: Variables) -> Iterator[Row]:
    """``sum_o a[o, m] x[o] + spare_current fit[s] <= sum_g capacity[s, g] feed[s, g]`` per slot and condition."""
    for slot in v.option_list.slots:
        capacity = [(v.feed[f.index], -float(f.capacity_ma)) for f in v.option_list.feeds_by_slot[slot.index]]
        for m in telling_conditions(v.option_list):
            terms = slot_current(v, slot, None, m)
            yield at_most(
                FeedCurrent(slot.index, m),
                [*terms, (v.fit[slot.index], slot.spare_current_ma), *capacity],
                0,
            )


def spread(v: Variables) -> Iterator[Row]:
    """``z[s, m] + p[s, m, i] >= d[i, m] sum_(o at s) x[o]``: the worst ``robust`` of the spreads count.

    The robust counterpart of Bertsimas and Sim, The price of robustness, Operations Research 52 (2004) 35-53; the
    current rows carry ``robust z + sum_i p``. For banks the same, over the options in the bank.
    """
    option_list = v.option_list
    if option_list.problem.margins.robust == 0:
        return
    for slot in option_list.slots:
        for bank in (None, *(name for name, _ in _telling_banks(option_list, slot))):
            for m in telling_conditions(option_list):
                yield from _spread_rows(v, slot, bank, m)


def _spread_rows(v: Variables, slot: Slot, bank: str | None, m: int) -> Iterator[Row]:
    option_list = v.option_list
    own: dict[int, list[int]] = {}
    for option in option_list.by_slot[slot.index]:
        if bank is None or bank_of(slot, option) == bank:
            for group, _ in option.candidate.members:
                if option_list.spread_ma[group][m]:
                    own.setdefault(group, []).append(option.index)
    if not own:
        return
    tag = f"{slot.index},{bank or '-'},{m}"
    most = {g: float(len(option_list.load_groups[g].loads) * option_list.spread_ma[g][m]) for g in own}
    z = v.protect[slot.index, bank, m] = v.add(f"z[{tag}]", max(most.values()), integer=False)
    for group, options in sorted(own.items()):
        p = v.excess[slot.index, bank, m, group] = v.add(f"p[{tag},{group}]", most[group], integer=False)
        terms = [(v.take[o], -float(option_list.spread_ma[group][m])) for o in options]
        yield at_least(f"spread[{tag},{group}]", [(z, 1.0), (p, 1.0), *terms], 0)


def open_capacity(v: Variables) -> Iterator[Row]:
    """``sum_s (limit[s] - spare_current[s]) fit[s] >= total current`` per condition, and the count that follows.

    Both follow from the rest and tighten the bound. The count: ``sum_s fit[s] >= n``, the least number of slots
    whose limits together carry the total.
    """
    option_list = v.option_list
    limits = [s.limit_ma - s.spare_current_ma for s in option_list.slots]
    most = 0
    for m in telling_conditions(option_list):
        total = _total_ma(option_list, m)
        yield at_least(f"open[{m}]", [(f, float(n)) for f, n in zip(v.fit, limits, strict=True)], total)
        most = max(most, _least_count(limits, total))
    if most > 1:
        yield at_least("count", [(f, 1.0) for f in v.fit], most)


def open_feeds(v: Variables) -> Iterator[Row]:
    """``sum_(s, g) (min(capacity[s, g], limit[s]) - spare_current[s]) feed[s, g] >= total current`` per condition.

    It follows from the rest and tightens the bound: feeds cost what they must carry together.
    """
    option_list = v.option_list
    for m in telling_conditions(option_list):
        terms = [
            (v.feed[f.index], float(min(f.capacity_ma, s.limit_ma) - s.spare_current_ma))
            for s in option_list.slots
            for f in option_list.feeds_by_slot[s.index]
        ]
        yield at_least(f"openfeeds[{m}]", terms, _total_ma(option_list, m))


def _total_ma(option_list: OptionList, condition: int) -> int:
    return sum(len(g.loads) * option_list.heating_ma[g.index][condition] for g in option_list.load_groups)


def _least_count(limits: list[int], total: int) -> int:
    """The least number of slots whose limits add up to a total; one more than there are if even all do not."""
    sums = accumulate(sorted(limits, reverse=True))
    return 0 if total <= 0 else 1 + sum(1 for reached in sums if reached < total)

"""The rule on outputs that are to stay free."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach
from allocator.evaluation.branches import Mounted
from allocator.evaluation.context import Context


def spare_outputs(context: Context) -> Iterator[Breach]:
    """Exactly as many outputs of each class stay spare as the unit asks for, and they are free."""
    for name, unit in context.mounted.items():
        asked = Counter(dict(unit.unit.spare))
        kept: Counter[str] = Counter()
        for class_name, _, count in unit.stated.spare:
            kept[class_name] += count
        for class_name in sorted(asked.keys() | kept.keys()):
            off = kept[class_name] - asked[class_name]
            if off:
                text = (
                    f"unit {name} keeps {kept[class_name]} outputs of class {class_name} spare, "
                    f"instead of {asked[class_name]}"
                )
                yield Breach(f"class {class_name} of unit {name}", abs(off), "outputs", text)
        yield from _not_free(context, unit)


def _not_free(context: Context, unit: Mounted) -> Iterator[Breach]:
    """Spare outputs that are in use, or that the unit does not have."""
    used = {pin for fed in context.on_unit(unit.name) for pin in fed.circuit.pins}
    free = Counter({(one.name, one.bank): sum(pin not in used for pin in one.pins) for one in unit.type.outputs})
    kept: Counter[tuple[str, str | None]] = Counter()
    for class_name, bank, count in unit.stated.spare:
        kept[class_name, bank] += count
        if count < 0:
            text = f"unit {unit.name} keeps {count} outputs of class {class_name} spare"
            yield Breach(f"class {class_name} of unit {unit.name}", -count, "outputs", text)
    for (class_name, bank), count in kept.items():
        over = count - free[class_name, bank]
        if over > 0:
            where = f"class {class_name}" + (f" in bank {bank}" if bank is not None else "")
            text = f"unit {unit.name} keeps {count} outputs of {where} spare, {over} more than are free"
            yield Breach(f"class {class_name} of unit {unit.name}", over, "outputs", text)

"""Unit types with their banks and outputs, units, bulkheads."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from allocator.problem import Bank, Bulkhead, ContactSet, Fit, OutputClass, Unit, UnitType
from allocator.reading.quantities import CURRENT, MASS, RESISTANCE, TEMPERATURE, TIME
from allocator.reading.record import Record

UNIT_TYPE_KEYS = ("name", "mass", "continuous", "hot", "sealed", "banks", "outputs")
BANK_KEYS = ("name", "continuous")
OUTPUT_KEYS = (
    "class", "bank", "pins", "continuous", "peaks", "retries", "capabilities", "wire", "parallel",
    "parallel_use", "trip_step", "trips",
)  # fmt: skip
UNIT_KEYS = ("name", "type", "sites", "source", "fit", "spare", "spare_current")
BULKHEAD_KEYS = ("name", "kind", "contacts", "studs")
CONTACT_KEYS = ("count", "wire", "continuous", "resistance")


class BulkheadKind(StrEnum):
    """What a bulkhead is."""

    CONNECTOR = "connector"
    GLAND = "gland"


def read_unit_type(record: Record) -> UnitType | None:
    """Read one unit type."""
    record.check_keys(UNIT_TYPE_KEYS)
    banks = [_read_bank(bank) for bank in record.children("banks", "bank")]
    if not record.has("outputs"):
        record.fail("outputs", "is missing", "Give at least one class of outputs")
    outputs = [_read_outputs(output) for output in record.children("outputs", "class")]
    if None in banks or None in outputs:
        # reported already, where it is
        record.ok = False
    return record.built(
        UnitType,
        name=record.text("name", needed=True),
        continuous_a=record.quantity("continuous", CURRENT, needed=True, positive=True),
        outputs=tuple(output for output in outputs if output is not None),
        mass_g=record.quantity("mass", MASS),
        hot=record.points("hot", TEMPERATURE, None),
        sealed=record.flag("sealed"),
        banks=tuple(bank for bank in banks if bank is not None),
    )


def _read_bank(record: Record) -> Bank | None:
    record.check_keys(BANK_KEYS)
    return record.built(
        Bank,
        name=record.text("name", needed=True),
        continuous_a=record.quantity("continuous", CURRENT, needed=True, positive=True),
    )


def _read_outputs(record: Record) -> OutputClass | None:
    record.check_keys(OUTPUT_KEYS)
    if not record.has("pins"):
        record.fail("pins", "is missing", 'Name the pins of the outputs, such as ["L1", "L2"]')
    return record.built(
        OutputClass,
        name=record.text("class", needed=True),
        pins=record.names("pins"),
        continuous_a=record.quantity("continuous", CURRENT, needed=True, positive=True),
        wire_mm2=record.area_range("wire"),
        bank=record.text("bank"),
        peaks=record.points("peaks", CURRENT, TIME),
        retries=record.count("retries"),
        capabilities=record.words("capabilities"),
        parallel=record.count("parallel", low=1),
        parallel_use=record.share("parallel_use", above_zero=True),
        trip_step_a=record.quantity("trip_step", CURRENT, positive=True),
        trips_a=_sorted(record.quantities("trips", CURRENT)),
    )


def _sorted(values: tuple[float, ...] | None) -> tuple[float, ...] | None:
    return None if values is None else tuple(sorted(values))


def read_unit(record: Record, default_source: str | None) -> Unit | None:
    """Read one unit. ``default_source`` is the first source, None where there is none to name."""
    record.check_keys(UNIT_KEYS)
    if not record.has("sites"):
        record.fail("sites", "is missing, so the unit has nowhere to sit", "Name at least one place")
    source = record.text("source") or default_source
    if source is None:
        # there is none to name, which is told where the sources stand
        record.ok = False
    return record.built(
        Unit,
        name=record.text("name", needed=True),
        type=record.text("type", needed=True),
        sites=record.names("sites"),
        source=source,
        fit=record.choice("fit", Fit),
        spare=_spare(record),
        spare_current_a=record.quantity("spare_current", CURRENT),
    )


def _spare(record: Record) -> tuple[tuple[str, int], ...]:
    spare = record.child("spare")
    counts: dict[str, Any] = {name: spare.count(name) for name in sorted(spare.values)}
    record.ok = record.ok and spare.ok
    return tuple((name, count) for name, count in counts.items() if count)


def read_bulkhead(record: Record) -> Bulkhead | None:
    """Read one bulkhead."""
    record.check_keys(BULKHEAD_KEYS)
    contacts = [_read_contacts(contact) for contact in record.children("contacts", "contacts")]
    if None in contacts:
        record.ok = False
    kind = record.choice("kind", BulkheadKind)
    return record.built(
        Bulkhead,
        name=record.text("name", needed=True),
        kind=None if kind is None else kind.value,
        contacts=tuple(contact for contact in contacts if contact is not None),
        studs=record.count("studs"),
    )


def _read_contacts(record: Record) -> ContactSet | None:
    record.check_keys(CONTACT_KEYS)
    if not record.has("count"):
        record.fail("count", "is missing", "Say how many there are")
    return record.built(
        ContactSet,
        count=record.count("count", low=1),
        wire_mm2=record.area_range("wire"),
        continuous_a=record.quantity("continuous", CURRENT, positive=True),
        resistance_ohm=record.quantity("resistance", RESISTANCE),
    )

"""What a problem leaves open, and what is taken in its place: sentences that a layout lists."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from allocator.reading.wire_tables import DEFAULT_TABLES

DEFAULTS: dict[str, dict[str, str]] = {
    "system": {"ambient": "45 degC", "altitude": "0 m"},
    "margins": {
        "output_use": "0.8",
        "unit_use": "1",
        "trip": "1.25",
        "fuse_use": "0.8",
        "branch_drop": "3 %",
        "feed_drop": "2 %",
        "tail": "0.3 m",
        "ground_lead": "0.3 m",
        "route_factor": "1.2",
        "robust": "0",
        "bundle": "heat",
        "cables": "beside",
        "ampacity": "0.8",
        "splice_wires": "4",
    },
    "objective": {
        "unused_output": "15 g",
        "used_output": "17 g",
        "unit_mass": "0",
        "splice": "3 g",
        "move": "60 g",
    },
    "wire": {"insulation": "100 degC", "smallest": "0.5 mm2"},
}
"""Defaults of the settings as one would write them."""

LOAD_DEFAULTS = {
    "kind": "every load is taken as resistive",
    "return": "every load returns to the chassis",
    "max_drop": "every load is held to branch_drop",
    "spread": "no load exceeds its stated current",
    "duty": "every load is on all the time while it is on",
}
"""What the lack of a whole column of the loads means."""


def setting_defaults(settings: Mapping[str, Any]) -> list[str]:
    """A sentence for every setting that is left out."""
    sentences = []
    for table, values in DEFAULTS.items():
        given = settings.get(table, {})
        for key, value in values.items():
            if isinstance(given, dict) and key not in given:
                sentences.append(f"{table}.{key} is not given: {value} is taken")
    wire = settings.get("wire", {})
    for key, name in DEFAULT_TABLES.items():
        if key not in wire and key.replace("table", "file") not in wire:
            sentences.append(f"wire.{key} is not given: '{name}' is taken")
    if "conditions" not in settings.get("system", {}):
        sentences.append("system.conditions are not given: one, 'all on', is taken")
    if "name" not in settings:
        sentences.append("name is not given: that of the folder or workbook is taken")
    return sentences


def load_defaults(file: str, found: Iterable[str], conditions: Iterable[str]) -> list[str]:
    """A sentence for every column of the loads that is absent and matters."""
    columns = set(found)
    sentences = [f"{file} has no column '{c}': {says}" for c, says in LOAD_DEFAULTS.items() if c not in columns]
    if not columns & set(conditions):
        sentences.append(f"{file} has no column for a condition: every load is on in each")
    return sentences


def ambient_defaults(file: str, ambients: Iterable[float | None], system_c: float) -> list[str]:
    """A sentence on the rows that give no ambient."""
    rows = list(ambients)
    without = sum(1 for ambient in rows if ambient is None)
    if not without:
        return []
    return [f"{file}: {without} of {len(rows)} rows give no ambient: {system_c:g} degC of the system is taken"]

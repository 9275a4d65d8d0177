"""How much of each thing a problem may hold: far above any machine, so that a slip cannot fill the memory.

The largest problem that the engine is meant for has 2,000 loads and 150 places.
"""

from __future__ import annotations

from collections.abc import Mapping

MOST_OF: Mapping[str, int] = {
    "loads": 50_000,
    "places": 10_000,
    "segments": 50_000,
    "runs": 500_000,
    "wires": 20_000,
    "sources": 1_000,
    "bulkheads": 2_000,
    "unit_types": 2_000,
    "units": 5_000,
    "functions": 10_000,
}
"""Rows of each table, or tables of each list in the settings; loads counted with their quantity."""

MOST_WIRES_OFFERED = 5_000
"""Rows of a wire table."""

MOST_QUANTITY = 1_000
"""Loads of one row."""

MOST_CONDITIONS = 200
MOST_NAMES = 5_000
"""Names in one list, such as the pins of a class of outputs or the loads of a function."""

MOST_POINTS = 1_000
"""Points of a curve: peaks of an output, shares of a hot unit."""

MOST_CLASSES = 500
"""Classes of outputs, banks, or sets of contacts, of one thing."""

MOST_TRIP_SETTINGS = 10_000
"""Trip settings of an output, listed or by steps up to its rating."""

MOST_PARALLEL = 100
MOST_RETRIES = 1_000
MOST_UNITS_AT_PLACE = 1_000
MOST_CONTACTS = 10_000
"""Contacts of one set, or studs of a bulkhead."""

MOST_CORES = 1_000
MOST_BUNDLE_WIRES = 10_000
MOST_SPLICE_WIRES = 1_000

"""Every rule with a layout that keeps it and one that breaks it."""

from __future__ import annotations

from tests.checking import cases_bundles, cases_outputs, cases_rest, cases_units, cases_volts, cases_wires
from tests.checking.builders import Case

CASES: dict[str, Case] = {
    **cases_units.CASES,
    **cases_outputs.CASES,
    **cases_wires.CASES,
    **cases_volts.CASES,
    **cases_bundles.CASES,
    **cases_rest.CASES,
}

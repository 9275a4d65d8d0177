"""Voltage drop along wires and splices."""

from __future__ import annotations

from allocator.problem import Wire
from allocator.wiring.ampacity import running_temperature_c
from allocator.wiring.conductors import resistance_ohm_m

SPLICE_OHM = 0.0005
"""Resistance of one crimped splice (common practice, no source)."""


def wire_ohm(wire: Wire, length_m: float, temperature_c: float) -> float:
    """Resistance of a length of wire at a conductor temperature, in ohm."""
    return resistance_ohm_m(wire, temperature_c) * length_m


def wire_drop_v(wire: Wire, length_m: float, current_a: float, ampacity: float, ambient_c: float) -> float:
    """Voltage lost along a length of wire at the temperature it runs at, in V.

    ``ampacity`` is what the wire may carry where it lies, with every allowance in it.
    """
    running = running_temperature_c(current_a, ampacity, ambient_c, wire.insulation_c)
    return current_a * wire_ohm(wire, length_m, running)

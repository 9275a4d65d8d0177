"""Conductors, what they carry, what they lose and what protects them."""

from allocator.wiring.ampacity import ampacity_a, running_temperature_c
from allocator.wiring.awg import gauge_area_mm2, gauge_diameter_mm
from allocator.wiring.bundles import bundle_factor, next_loading
from allocator.wiring.conductors import completed, copper_g, of_class, resistance_ohm_m, wire_g
from allocator.wiring.drops import SPLICE_OHM, wire_drop_v, wire_ohm
from allocator.wiring.protection import largest_fuse, least_fuse, least_trip, standard_fuses, trip_settings
from allocator.wiring.short_circuit import k_factor, withstand_a2s

__all__ = [
    "SPLICE_OHM", "ampacity_a", "bundle_factor", "completed", "copper_g", "gauge_area_mm2",
    "gauge_diameter_mm", "k_factor", "largest_fuse", "least_fuse", "least_trip", "next_loading",
    "of_class", "resistance_ohm_m", "running_temperature_c", "standard_fuses", "trip_settings",
    "wire_drop_v", "wire_g", "wire_ohm", "withstand_a2s",
]

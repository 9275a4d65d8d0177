"""Conductors, what they carry, what they lose and what protects them."""

from allocator.wiring.ampacity import ampacity_a, running_temperature_c
from allocator.wiring.bundle_heat import BundledWire, BundleHeat, Surroundings, bundle_heat
from allocator.wiring.bundles import bundle_factor, next_loading
from allocator.wiring.conductors import (
    SPLICE_OHM,
    completed,
    copper_g,
    of_class,
    resistance_ohm_m,
    wire_g,
)
from allocator.wiring.protection import fuse_stands_a, least_trip, standard_fuses, trip_settings
from allocator.wiring.short_circuit import fuse_let_through_a2s, k_factor, withstand_a2s
from allocator.wiring.surroundings import surroundings_of, warmest_bundle_c

__all__ = [
    "SPLICE_OHM",
    "BundleHeat",
    "BundledWire",
    "Surroundings",
    "ampacity_a",
    "bundle_factor",
    "bundle_heat",
    "completed",
    "copper_g",
    "fuse_let_through_a2s",
    "fuse_stands_a",
    "k_factor",
    "least_trip",
    "next_loading",
    "of_class",
    "resistance_ohm_m",
    "running_temperature_c",
    "standard_fuses",
    "surroundings_of",
    "trip_settings",
    "warmest_bundle_c",
    "wire_g",
    "withstand_a2s",
]

"""Heat that a short circuit may put into a wire before its protector clears it."""

from __future__ import annotations

from functools import lru_cache
from math import log, sqrt

from allocator.problem import Wire


def k_factor(initial_c: float, final_c: float) -> float:
    """Copper's k in ``I2 t = (k S)2``, in A sqrt(s) / mm2: ``226 sqrt(ln((234.5 + Tf) / (234.5 + Ti)))``.

    No heat leaves the wire meanwhile (IEC 60364-4-43, formula of its annex).

    Raises
    ------
    ValueError
        When the final temperature is below the initial one.
    """
    if final_c < initial_c:
        raise ValueError(f"final {final_c:g} degC is below initial {initial_c:g} degC. Swap them.")
    return 226.0 * sqrt(log((234.5 + final_c) / (234.5 + initial_c)))


def final_temperature_c(insulation_c: float) -> float:
    """Highest conductor temperature in a short circuit: 160 degC up to class 105, above it 250 degC.

    IEC 60364-4-43 table 43A, from memory: thermoplastic 160, thermosetting 250. That classes above 105 are
    thermosetting (or better) is common practice, no source.
    """
    return 160.0 if insulation_c <= 105.0 else 250.0


@lru_cache(maxsize=4096)
def withstand_a2s(wire: Wire) -> float:
    """``(k S)2`` of a wire that was at its insulation class when the short circuit began, in A2 s."""
    k = k_factor(wire.insulation_c, final_temperature_c(wire.insulation_c))
    return (k * wire.area_mm2) ** 2


def fuse_let_through_a2s(fuse_a: float) -> float:
    """Heat that a blade fuse lets through in a short circuit, in A2 s: 6 times its rating for 0.1 s.

    The slowest end of the 600 % operating-time gate of ISO 8820-3, from memory.
    """
    return (6.0 * fuse_a) ** 2 * 0.1

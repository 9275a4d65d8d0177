"""Heat through the cross-section of a bundle by finite differences, which share no more than the film with the rule.

Round wires of copper and insulation, still air between them, the film of a single body on the round outline; no
radiation inside. On a square grid, by the conductances between neighbouring cells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from allocator.wiring.air import pressure_pa
from allocator.wiring.ampacity import leaving_w_m

COPPER, INSULATION, AIR = 400.0, 0.2, 0.03
"""Heat conductivities in W/(m K); of insulation as in the rule, of still air at 80 degC."""


@dataclass(frozen=True)
class Disc:
    """A wire: its middle and its diameters, in mm, and its heat, in W/m."""

    x: float
    y: float
    outer: float
    copper: float
    heat: float


def rings(counts: Sequence[int], step: float) -> list[tuple[float, float]]:
    """Middles of wires in rings: so many at 0, 1, 2 ... steps from the middle."""
    return [
        (n * step * cos(2 * pi * i / count), n * step * sin(2 * pi * i / count))
        for n, count in enumerate(counts)
        for i in range(count)
    ]


def hottest_rise_k(discs: Sequence[Disc], outline_mm: float, ambient_c: float, cell_mm: float) -> float:
    """Rise of the hottest conductor over the ambient, in K."""
    total = sum(disc.heat for disc in discs)
    film = _film_w_m2_k(outline_mm, total, ambient_c)
    n = int(np.ceil(outline_mm / cell_mm)) + 2
    middle = (np.arange(n) + 0.5 - n / 2) * cell_mm
    x, y = np.meshgrid(middle, middle, indexing="ij")
    inside = x**2 + y**2 <= (outline_mm / 2) ** 2
    k = np.where(inside, AIR, 0.0)
    heat = np.zeros((n, n))
    copper = []
    for disc in discs:
        far = (x - disc.x) ** 2 + (y - disc.y) ** 2
        k[inside & (far <= (disc.outer / 2) ** 2)] = INSULATION
    for disc in discs:
        core = (x - disc.x) ** 2 + (y - disc.y) ** 2 <= (disc.copper / 2) ** 2
        k[core] = COPPER
        heat[core] += disc.heat / core.sum()
        copper.append(core)
    rise = _solved(k, heat, inside, film * cell_mm * 1e-3 * _staircase(inside, cell_mm, outline_mm))
    return float(max(rise[core].mean() for core in copper))


def _film_w_m2_k(outline_mm: float, total_w_m: float, ambient_c: float) -> float:
    """Heat per area and kelvin that leaves the outline, at the mean temperature of the surface that sheds the total."""
    low, high, pressure = ambient_c, ambient_c + 500.0, pressure_pa(0.0)
    for _ in range(60):
        surface = (low + high) / 2
        if leaving_w_m(outline_mm * 1e-3, surface, ambient_c, pressure) < total_w_m:
            low = surface
        else:
            high = surface
    return total_w_m / (pi * outline_mm * 1e-3 * (surface - ambient_c))


def _staircase(inside: np.ndarray, cell_mm: float, outline_mm: float) -> float:
    """Length of the round outline over that of its staircase of cells."""
    faces = sum(np.abs(np.diff(inside.astype(int), axis=axis)).sum() for axis in (0, 1))
    return float(pi * outline_mm / (faces * cell_mm))


def _solved(k: np.ndarray, heat: np.ndarray, inside: np.ndarray, film_w_k: float) -> np.ndarray:
    """Rise of each cell: what it makes flows to its neighbours, at the outline into the air."""
    number = np.full(k.shape, -1)
    number[inside] = np.arange(inside.sum())
    rows, columns, values = [], [], []
    own = np.zeros(inside.sum())
    for axis in (0, 1):
        near, far = np.take(number, range(k.shape[axis] - 1), axis), np.take(number, range(1, k.shape[axis]), axis)
        k1, k2 = np.take(k, range(k.shape[axis] - 1), axis), np.take(k, range(1, k.shape[axis]), axis)
        both = (near >= 0) & (far >= 0)
        g = 2 * k1[both] * k2[both] / (k1[both] + k2[both])
        rows += [near[both], far[both]]
        columns += [far[both], near[both]]
        values += [-g, -g]
        np.add.at(own, near[both], g)
        np.add.at(own, far[both], g)
        for one, other in ((near, far), (far, near)):
            np.add.at(own, one[(one >= 0) & (other < 0)], film_w_k)
    cells = np.arange(own.size)
    matrix = coo_matrix(
        (np.concatenate([*values, own]), (np.concatenate([*rows, cells]), np.concatenate([*columns, cells])))
    ).tocsr()
    rise = np.zeros(k.shape)
    rise[inside] = spsolve(matrix, heat[inside])
    return rise

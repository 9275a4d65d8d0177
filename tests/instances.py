"""Published optimisation instances, read from their plain files and written as problem folders.

A facility is a unit that is fitted if needed, with its capacity as rating in milliamperes and its opening cost as
mass; a customer is a load with its demand in milliamperes; what it costs to give the customer to the facility is
a measured run in millimetres of the one wire there is, of which a millimetre weighs a gram. Everything else of
a problem (drops, trips, fuses, lengths of feeds and returns) is opened so wide that it never binds.
"""

from __future__ import annotations

import csv
import os
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, dist, floor
from pathlib import Path

from allocator.layout import Layout

FOLDER = Path(
    os.environ.get("ALLOCATOR_INSTANCES", Path(__file__).parents[1] / ".." / "shared" / "reference" / "instances")
)

PUBLICATIONS = {
    "sscflp_holmberg": "Holmberg, Ronnqvist and Yuan 1999, European Journal of Operational Research 113",
    "sscflp_diaz_fernandez": "Diaz and Fernandez 2002, Journal of the Operational Research Society 53",
    "sscflp_orlib_cap": "Beasley 1988, European Journal of Operational Research 33; OR-Library cap61 to cap134",
    "sscflp_yang": "Yang, Chu and Chen 2012, European Journal of Operational Research 221",
    "cpmp_orlib": "Osman and Christofides 1994, International Transactions in Operational Research 1; OR-Library",
    "binpack_falkenauer": "Falkenauer 1996, Journal of Heuristics 2; OR-Library binpack1 and binpack5",
    "bppc_muritiba": "Muritiba, Iori, Malaguti and Toth 2010, INFORMS Journal on Computing 22",
}


@dataclass(frozen=True)
class Instance:
    """Facilities and customers, with single sourcing.

    ``capacity`` and ``opening`` hold a figure per facility type, ``cost[i][j]`` what customer *j* costs at site
    *i*. ``copies`` units of the one type may go to any of the sites, or all to the only one; without it each
    facility has its own site.
    ``conflicts`` are pairs of customers that one unit must not feed both.
    """

    name: str
    capacity: Sequence[int]
    opening: Sequence[float]
    demand: Sequence[int]
    cost: Sequence[Sequence[float]]
    copies: int | None = None
    conflicts: Sequence[tuple[int, int]] = ()

    @property
    def rounding(self) -> float:
        """By how much a proven optimum may be off: copper is rounded to a milligram, a thousandth of a unit."""
        whole = all(float(c).is_integer() for row in self.cost for c in row)
        return 1e-6 if whole else 0.01 + 0.0005 * len(self.demand)

    def cost_of(self, layout: Layout) -> float:
        """Cost of a layout in the words of the instance, from its assignments alone.

        Raises
        ------
        AssertionError
            When a customer is not served exactly once, or a capacity is passed, or a conflict is ignored.
        """
        site = {unit.name: int(unit.site.removeprefix("site ")) for unit in layout.units}
        served = {int(c.loads[0].removeprefix("customer ")): c.unit for c in layout.circuits}
        assert len(layout.circuits) == len(served) == len(self.demand)
        total = 0.0
        for unit, place in site.items():
            kind = 0 if self.copies is not None else place
            mine = [j for j, name in served.items() if name == unit]
            assert sum(self.demand[j] for j in mine) <= self.capacity[kind]
            assert not any(a in mine and b in mine for a, b in self.conflicts)
            total += self.opening[kind] + sum(self.cost[place][j] for j in mine)
        return total


@dataclass(frozen=True)
class Published:
    """A row of a set: where its data are, and its published optimum."""

    set: str
    name: str
    optimum: float
    customers: int
    seconds: float | None

    def __str__(self) -> str:
        return f"{self.set}/{self.name}"

    def read(self) -> Instance:
        """The instance from its file."""
        numbers = (FOLDER / self.set / f"{self.name}.txt").read_text()
        if self.set.startswith("sscflp"):
            return facilities(self.name, numbers)
        if self.set == "cpmp_orlib":
            return medians(self.name, numbers)
        return packing(self.name, numbers, conflicts=self.set == "bppc_muritiba")


def published(name: str) -> list[Published]:
    """The rows of a set that have a published optimum, proven or not; none where the files are not there.

    ``seconds`` is what the textbook model took in the set's own table, where it ended.
    """
    table = FOLDER / name / "optima.csv"
    if not table.is_file():
        return []
    with table.open(newline="", encoding="utf-8") as lines:
        rows = [row for row in csv.DictReader(lines) if row["optimum"] and row["confirmation"] != "proven"]
    sizes = [row.get("customers") or row.get("sites") or row.get("items") or "0" for row in rows]
    return [
        Published(
            set=name,
            name=row["name"],
            optimum=float(row["optimum"]),
            customers=int(size),
            seconds=float(row["highs_seconds"]) if row["highs_status"] == "Optimal" else None,
        )
        for row, size in zip(rows, sizes, strict=True)
    ]


def facilities(name: str, text: str) -> Instance:
    """An instance of single-source capacitated facility location."""
    numbers = [float(word) for word in text.split()]
    sites, customers = int(numbers[0]), int(numbers[1])
    pairs, rest = numbers[2 : 2 + 2 * sites], numbers[2 + 2 * sites :]
    demand, costs = rest[:customers], rest[customers:]
    return Instance(
        name=name,
        capacity=[round(c) for c in pairs[::2]],
        opening=pairs[1::2],
        demand=[round(d) for d in demand],
        cost=[costs[i * customers : (i + 1) * customers] for i in range(sites)],
    )


def medians(name: str, text: str) -> Instance:
    """An instance of the capacitated p-median; distances rounded down, as its optima are."""
    numbers = [int(word) for word in text.split()]
    count, copies, capacity = numbers[:3]
    points = [numbers[3 + 4 * n : 7 + 4 * n] for n in range(count)]
    return Instance(
        name=name,
        capacity=[capacity],
        opening=[0.0],
        demand=[demand for *_, demand in points],
        cost=[[floor(dist(a[1:3], b[1:3])) for b in points] for a in points],
        copies=copies,
    )


def packing(name: str, text: str, *, conflicts: bool) -> Instance:
    """An instance of bin packing, with or without conflicts."""
    lines = [[int(word) for word in line.split()] for line in text.splitlines() if line.strip()]
    (_, capacity), items = lines[0], lines[1:]
    weights = [item[1] if conflicts else item[0] for item in items]
    pairs = [(item[0] - 1, other - 1) for item in items for other in item[2:]] if conflicts else []
    return bins(name, weights, capacity, pairs)


def bins(name: str, weights: Sequence[int], capacity: int, conflicts: Sequence[tuple[int, int]] = ()) -> Instance:
    """Bins as alike units at one place, which cost 1 to open; as many as first-fit decreasing fills."""
    apart = {*conflicts, *((b, a) for a, b in conflicts)}
    filled: list[list[int]] = []
    for j in sorted(range(len(weights)), key=lambda n: -weights[n]):
        fits = (
            b
            for b in filled
            if sum(weights[n] for n in b) + weights[j] <= capacity and not any((n, j) in apart for n in b)
        )
        into = next(fits, None)
        if into is None:
            filled.append([j])
        else:
            into.append(j)
    return Instance(
        name=name,
        capacity=[capacity],
        opening=[1.0],
        demand=weights,
        cost=[[0.0] * len(weights)],
        copies=len(filled),
        conflicts=conflicts,
    )


def write(instance: Instance, folder: Path) -> Path:
    """Write an instance as a problem folder; a unit of cost is a gram."""
    folder.mkdir(parents=True, exist_ok=True)
    sites = range(len(instance.cost))
    (folder / "problem.toml").write_text(_settings(instance), encoding="utf-8")
    units = instance.copies or 1 if len(sites) == 1 else 1
    here = [[f"site {i}", 0, 0, 0, units] for i in sites]
    columns = ["place", "x [m]", "y [m]", "z [m]", "units"]
    _table(folder / "places.csv", columns, [["customers", 0, 0, 0, 1], *here])
    loads = [[f"customer {j}", "customers", demand] for j, demand in enumerate(instance.demand)]
    _table(folder / "loads.csv", ["load", "place", "current [mA]"], loads)
    runs = [[f"customer {j}", f"site {i}", cost] for i in sites for j, cost in enumerate(instance.cost[i])]
    _table(folder / "runs.csv", ["load", "site", "length [mm]"], runs)
    columns = [
        "size",
        "area [mm2]",
        "conductor [mm]",
        "diameter [mm]",
        "resistance [mohm/m]",
        "mass [g/m]",
        "insulation [degC]",
        "source",
    ]
    area = 1000 / 8.89
    row = ["the only one", repr(area), 14, 16, 1e-9, 1000, 200, "made up for this instance: 1 mm weighs 1 g"]
    _table(folder / "wires.csv", columns, [row])
    return folder


def _table(path: Path, columns: list[str], rows: Sequence[Sequence[object]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as lines:
        writer = csv.writer(lines)
        writer.writerow(columns)
        writer.writerows(rows)


def _settings(instance: Instance) -> str:
    kinds = range(len(instance.capacity))
    output_a = ceil(max(instance.demand) / 1000)
    pins = ", ".join(f'"{n}"' for n in range(len(instance.demand)))
    parts = [_HEAD.format(name=instance.name)]
    for i in kinds:
        parts.append(
            f'[[unit_types]]\nname = "type {i}"\nmass = "{instance.opening[i]!r} g"\n'
            f'continuous = "{instance.capacity[i]} mA"\noutputs = [{{ class = "any", pins = [{pins}], '
            f'continuous = "{output_a} A", wire = ["100 mm2", "120 mm2"], trips = ["{output_a} A"] }}]\n'
        )
    everywhere = ", ".join(f'"site {i}"' for i in range(len(instance.cost)))
    for i in range(instance.copies or len(kinds)):
        kind, sites = (i, f'"site {i}"') if instance.copies is None else (0, everywhere)
        parts.append(f'[[units]]\nname = "unit {i}"\ntype = "type {kind}"\nsites = [{sites}]\nfit = "if needed"\n')
    for a, b in instance.conflicts:
        parts.append(
            f'[[functions]]\nname = "conflict {a} {b}"\nloads = ["customer {a}", "customer {b}"]\n'
            'survive = 1\nagainst = ["unit"]\n'
        )
    return "\n".join(parts)


_HEAD = """format = 1
name = "{name}"

[system]
nominal = "12 V"
running = "12 V"
lowest = "12 V"
ambient = "20 degC"

[[sources]]
name = "source"
place = "customers"

[margins]
output_use = 1.0
unit_use = 1.0
trip = 1.0
fuse_use = 1.0
branch_drop = "50 %"
feed_drop = "50 %"
tail = "0 m"
ground_lead = "0 m"
bundle = "none"
ampacity = 1.0

[objective]
unused_output = "0 g"
used_output = "0 g"
splice = "0 g"
unit_mass = 1.0

[wire]
file = "wires.csv"
feed_file = "wires.csv"
insulation = "200 degC"
smallest = "1 mm2"
"""

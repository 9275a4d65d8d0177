"""What is answered: frozen objects, JSON in and out.

A layout made by hand may leave out everything but the decisions: such fields are None (or empty) here, and
``allocator.evaluation.complete.complete`` fills them in.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field, fields
from typing import Any

from allocator.notebook import shown
from allocator.problem.near_misses import suggestion
from allocator.strict_json import StrictJsonError, parsed
from allocator.table import Row, Table, keyed

FORMAT = "allocator-layout/1"
MOST = 1e15  # no figure of a layout comes near it: what is larger was not meant
MOST_LISTED = 100_000
"""Objects or texts in one list of a layout file; the largest layout that is meant has some thousand circuits."""

OPTIMAL = "optimal"
FEASIBLE = "feasible"
INFEASIBLE = "infeasible"
NOTHING_FOUND = "nothing-found"
HAND_MADE = "hand-made"


class LayoutError(ValueError):
    """A layout file that cannot be read; the text says where and what would do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A contact of a bulkhead taken by a wire: ``set`` is the number of the contact set in the problem, from 0.

    ``number`` counts the contacts of the bulkhead from 1, set by set: which of its set it is. It changes nothing that
    is reckoned, so contacts that differ in it alone are equal.
    """

    bulkhead: str
    set: int
    number: int | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedWire:
    """One conductor. ``role`` is out, return, trunk or branch; ``loads`` are those whose current it carries.

    ``route`` lists places from ``start`` to ``end``; ``factor`` is what its way leaves of its
    ampacity: cables beside it, conduit, or what is stated for a bundle.
    """

    role: str
    size: str
    start: str = ""
    end: str = ""
    route: tuple[str, ...] = ()
    insulation_c: float | None = None
    length_m: float | None = None
    copper_g: float | None = None
    wire_g: float | None = None
    factor: float = 1.0
    contacts: tuple[Contact, ...] = ()
    loads: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """Where the wire of a shared output branches: ``count`` splices at a place."""

    place: str
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """The loads that one output, or one parallel group or bridge pair of outputs, feeds."""

    name: str
    loads: tuple[str, ...]
    unit: str
    pins: tuple[str, ...]
    bank: str | None = None
    output_class: str | None = None
    current_a: float | None = None
    trip_a: float | None = None
    wires: tuple[PlacedWire, ...] = ()
    splices: tuple[Splice, ...] = ()
    drop_percent: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """The cable and fuse from the source to a unit."""

    size: str
    route: tuple[str, ...] = ()
    insulation_c: float | None = None
    length_m: float | None = None
    copper_g: float | None = None
    wire_g: float | None = None
    fuse_a: float | None = None
    drop_percent: float | None = None
    factor: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedUnit:
    """A unit at its site; ``current_a`` holds (condition, amperes), ``spare`` (class, bank, outputs kept free)."""

    name: str
    site: str
    type: str = ""
    feed: Feed | None = None
    current_a: tuple[tuple[str, float], ...] = ()
    spare: tuple[tuple[str, str | None, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectCircuit:
    """A load fused at its source."""

    load: str
    source: str
    current_a: float | None = None
    fuse_a: float | None = None
    wires: tuple[PlacedWire, ...] = ()
    drop_percent: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenRun:
    """A given wire where it lies: ``length_m`` of one core, masses and ``contacts`` of all its cores together."""

    wire: str
    size: str
    cores: int = 1
    route: tuple[str, ...] = ()
    insulation_c: float | None = None
    length_m: float | None = None
    copper_g: float | None = None
    wire_g: float | None = None
    factor: float = 1.0
    contacts: tuple[Contact, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """Sums over the layout: grams of copper, grams of finished wire, metres, counts."""

    copper_g: float
    branch_copper_g: float
    feed_copper_g: float
    wire_g: float
    length_m: float
    outputs_used: int
    outputs_spare: int
    outputs_unused: int
    units_fitted: int
    splices: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The answer. ``bound_g`` and ``gap`` are None when unknown; ``gap`` is (objective - bound) / objective."""

    problem: str
    problem_sha256: str = ""
    made_with: tuple[tuple[str, str], ...] = ()
    status: str = HAND_MADE
    objective_g: float | None = None
    bound_g: float | None = None
    gap: float | None = None
    seconds: float | None = None
    totals: Totals | None = None
    units: tuple[FittedUnit, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    direct: tuple[DirectCircuit, ...] = ()
    given: tuple[GivenRun, ...] = ()
    defaults: tuple[str, ...] = ()
    listed: tuple[tuple[str, Any], ...] = field(default=())

    def to_json(self) -> str:
        """The layout file: keys in a fixed order, one space of indent, a line end at the end."""
        return json.dumps(_plain(self), indent=1, ensure_ascii=False, allow_nan=False) + "\n"

    def _repr_html_(self) -> str:
        sums = self.totals
        facts = [
            ("status", self.status),
            ("objective g", self.objective_g),
            ("bound g", self.bound_g),
            ("gap", self.gap),
            ("copper g", None if sums is None else sums.copper_g),
            ("outputs used", None if sums is None else sums.outputs_used),
            ("units", ", ".join(f"{unit.name} at {unit.site}" for unit in self.units)),
        ]
        rows: list[Row] = [(one.loads, one.unit, one.pins, one.current_a, one.trip_a) for one in self.circuits]
        rows += [(one.load, one.source, "", one.current_a, one.fuse_a) for one in self.direct]
        columns = keyed("loads", "unit or source", "pins", "current_a", "trip or fuse_a")
        return shown(f"Layout of {self.problem}", facts, Table(columns=columns, rows=tuple(rows)))

    @staticmethod
    def from_json(text: str) -> Layout:
        """Read a layout file; whatever is not a decision may be left out.

        Raises
        ------
        LayoutError
            When the text is not JSON, not of this format, or a needed field is missing or of a wrong type.
        """
        try:
            data = parsed(text)
        except StrictJsonError as error:
            raise LayoutError(f"{error}. Give a layout.json file.") from None
        return _layout(data)


_RENAMED = {"start": "from", "end": "to", "output_class": "class"}


def _plain(thing: Any) -> Any:
    """JSON form of a layout object: the names of the layout file, pairs as objects."""
    if isinstance(thing, Layout):
        body = {f.name: _plain(getattr(thing, f.name)) for f in fields(thing)}
        body["problem"] = {"name": thing.problem, "sha256": body.pop("problem_sha256")}
        body["made_with"], body["listed"] = dict(thing.made_with), {k: _plain(v) for k, v in thing.listed}
        return {"format": FORMAT, **body}
    if isinstance(thing, FittedUnit):
        return {
            "name": thing.name,
            "type": thing.type,
            "site": thing.site,
            "feed": _plain(thing.feed),
            "current_a": dict(thing.current_a),
            "spare": [{"class": c, "bank": b, "count": n} for c, b, n in thing.spare],
        }
    if isinstance(thing, Totals | Contact | Splice):
        return asdict(thing)
    if hasattr(thing, "__dataclass_fields__"):
        return {_RENAMED.get(f.name, f.name): _plain(getattr(thing, f.name)) for f in fields(thing)}
    if isinstance(thing, tuple | list):
        return [_plain(item) for item in thing]
    return thing


def _layout(data: Any) -> Layout:
    reader = _Reader(data, "layout")
    if "format" not in reader.data:
        remedy = f"Give a layout.json file, or begin with {json.dumps({'format': FORMAT})[1:-1]}"
        raise LayoutError(f"layout: 'format' is missing. {remedy}.")
    if reader.data["format"] != FORMAT:
        raise LayoutError(
            f"layout: 'format' is {_cut(reader.data['format'])}, not {FORMAT!r}. Give a layout.json file."
        )
    reader.only("format", *_keys(Layout) - {"problem_sha256"})
    name, sha256 = _problem(reader)
    totals = reader.data.get("totals")
    return Layout(
        problem=name,
        problem_sha256=sha256,
        made_with=_made_with(reader),
        status=reader.text("status", HAND_MADE),
        objective_g=reader.number("objective_g"),
        bound_g=reader.number("bound_g"),
        gap=reader.number("gap"),
        seconds=reader.number("seconds"),
        totals=None if totals is None else _totals(_Reader(totals, "totals")),
        units=tuple(_unit(r) for r in reader.each("units")),
        circuits=_circuits(reader),
        direct=tuple(_direct(r) for r in reader.each("direct")),
        given=tuple(_given(r) for r in reader.each("given")),
        defaults=reader.texts("defaults"),
        listed=_listed(reader),
    )


def _problem(reader: _Reader) -> tuple[str, str]:
    """Name and SHA-256 of the problem; a hand may give the name alone."""
    named = reader.data.get("problem", {})
    if isinstance(named, str):
        return named, ""
    r = _Reader(named, "problem")
    r.only("name", "sha256")
    return r.text("name"), r.text("sha256")


def _made_with(reader: _Reader) -> tuple[tuple[str, str], ...]:
    r = _Reader(reader.mapping("made_with"), "made_with")
    return tuple((key, r.text(key)) for key in r.data)


def _listed(reader: _Reader) -> tuple[tuple[str, Any], ...]:
    """What was listed: counts, and sentences on what was cut short."""
    r = _Reader(reader.mapping("listed"), "listed")
    return tuple((key, r.texts(key) if isinstance(r.data[key], list) else r.number(key)) for key in r.data)


def _circuits(reader: _Reader) -> tuple[Circuit, ...]:
    """The circuits, none under the name of a load that another one feeds: labels and lists would tell of that load."""
    readers = reader.each("circuits")
    circuits = tuple(_circuit(r) for r in readers)
    at_source = {r.text("load") for r in reader.each("direct")}
    fed = {load for circuit in circuits for load in circuit.loads} | at_source
    for r, circuit in zip(readers, circuits, strict=True):
        if circuit.name in fed and circuit.name not in circuit.loads:
            wrong = f"has the name of load '{circuit.name}', which it does not feed"
            raise LayoutError(f"{r.where}: {wrong}. Name it after its own loads, or leave 'name' out.")
    return circuits


def _spare(s: _Reader) -> tuple[str, str | None, int]:
    s.only("class", "bank", "count")
    return s.needed("class"), s.optional("bank"), s.whole("count", 0)


def _splice(s: _Reader) -> Splice:
    s.only(*_keys(Splice))
    return Splice(place=s.needed("place"), count=s.whole("count", 1))


def _contact(c: _Reader) -> Contact:
    c.only(*_keys(Contact))
    return Contact(bulkhead=c.needed("bulkhead"), set=c.whole("set", 0), number=_number(c))


def _cut(value: Any) -> str:
    """A value in a message, however long it is."""
    shown = repr(value) if not isinstance(value, int) or abs(value) < MOST else "a very large number"
    return shown if len(shown) <= 60 else f"{shown[:57]}..."


def _keys(kind: type) -> set[str]:
    """Names that the fields of a layout object have in the file."""
    return {_RENAMED.get(f.name, f.name) for f in fields(kind)}


def _totals(r: _Reader) -> Totals:
    r.only(*_keys(Totals))
    values: dict[str, Any] = {}
    for f in fields(Totals):
        number = r.number(f.name)
        if number is None:
            raise LayoutError(f"totals: '{f.name}' is missing. Leave 'totals' out, or give all of it.")
        values[f.name] = r.whole(f.name, 0) if f.type == "int" else number
    return Totals(**values)


def _unit(r: _Reader) -> FittedUnit:
    r.only(*_keys(FittedUnit))
    feed = r.data.get("feed")
    return FittedUnit(
        name=r.needed("name"),
        site=r.needed("site"),
        type=r.text("type"),
        feed=None if feed is None else _feed(_Reader(feed, f"{r.where} feed")),
        current_a=_currents(r),
        spare=tuple(_spare(s) for s in r.each("spare")),
    )


def _currents(r: _Reader) -> tuple[tuple[str, float], ...]:
    """Current by condition; a condition without one is left out."""
    by_condition = _Reader(r.mapping("current_a"), f"{r.where} current_a")
    stated = ((condition, by_condition.number(condition)) for condition in by_condition.data)
    return tuple((condition, current) for condition, current in stated if current is not None)


def _feed(r: _Reader) -> Feed:
    r.only(*_keys(Feed))
    return Feed(
        size=r.needed("size"),
        route=r.texts("route"),
        insulation_c=r.number("insulation_c"),
        length_m=r.number("length_m"),
        copper_g=r.number("copper_g"),
        wire_g=r.number("wire_g"),
        fuse_a=r.number("fuse_a"),
        drop_percent=r.number("drop_percent"),
        factor=_factor(r),
    )


def _circuit(r: _Reader) -> Circuit:
    r.only(*_keys(Circuit), "size")
    loads = r.texts("loads")
    if not loads:
        raise LayoutError(f"{r.where}: 'loads' is missing. List the loads that the circuit feeds.")
    pins = r.texts("pins")
    if not pins:
        raise LayoutError(f"{r.where}: 'pins' is missing. List the pins of the outputs that feed it.")
    return Circuit(
        name=r.text("name", " + ".join(loads)),
        loads=loads,
        unit=r.needed("unit"),
        pins=pins,
        bank=r.optional("bank"),
        output_class=r.optional("class"),
        current_a=r.number("current_a"),
        trip_a=r.number("trip_a"),
        wires=_wires(r),
        splices=tuple(_splice(s) for s in r.each("splices")),
        drop_percent=r.number("drop_percent"),
    )


def _direct(r: _Reader) -> DirectCircuit:
    r.only(*_keys(DirectCircuit), "size")
    return DirectCircuit(
        load=r.needed("load"),
        source=r.text("source"),
        current_a=r.number("current_a"),
        fuse_a=r.number("fuse_a"),
        wires=_wires(r),
        drop_percent=r.number("drop_percent"),
    )


def _wires(r: _Reader) -> tuple[PlacedWire, ...]:
    """The wires listed; or, from a hand, one ``size`` for all wires of the circuit (role ``any``)."""
    if "size" not in r.data:
        return tuple(_wire(w) for w in r.each("wires"))
    if "wires" in r.data:
        # one of the two would be ignored, and whoever wrote it would not know
        remedy = "Change those, or leave 'wires' out"
        raise LayoutError(f"{r.where}: 'size' stands beside 'wires', which have sizes of their own. {remedy}.")
    return (PlacedWire(role="any", size=r.needed("size")),)


def _wire(w: _Reader) -> PlacedWire:
    w.only(*_keys(PlacedWire))
    return PlacedWire(
        role=w.text("role", "any"),
        size=w.needed("size"),
        start=w.text("from"),
        end=w.text("to"),
        route=w.texts("route"),
        insulation_c=w.number("insulation_c"),
        length_m=w.number("length_m"),
        copper_g=w.number("copper_g"),
        wire_g=w.number("wire_g"),
        factor=_factor(w),
        contacts=_contacts(w),
        loads=w.texts("loads"),
    )


def _given(r: _Reader) -> GivenRun:
    r.only(*_keys(GivenRun))
    return GivenRun(
        wire=r.needed("wire"),
        size=r.text("size"),
        cores=r.whole("cores", 1),
        route=r.texts("route"),
        insulation_c=r.number("insulation_c"),
        length_m=r.number("length_m"),
        copper_g=r.number("copper_g"),
        wire_g=r.number("wire_g"),
        factor=_factor(r),
        contacts=_contacts(r),
    )


def _factor(r: _Reader) -> float:
    factor = r.number("factor")
    return 1.0 if factor is None else float(factor)


def _contacts(r: _Reader) -> tuple[Contact, ...]:
    return tuple(_contact(c) for c in r.each("contacts"))


def _number(r: _Reader) -> int | None:
    return None if r.number("number") is None else r.whole("number", 0)


class _Reader:
    """Typed access to one JSON object, with errors that say where it stands."""

    def __init__(self, data: Any, where: str):
        if not isinstance(data, dict):
            raise LayoutError(
                f"{where}: an object is needed here, not {type(data).__name__}. Compare with a layout.json."
            )
        self.data: dict[str, Any] = data
        self.where = where

    def only(self, *known: str) -> None:
        """Refuse an unknown key: if it were ignored, the layout would pass unchecked."""
        for key in self.data:
            if key not in known:
                remedy = suggestion(key, sorted(known), "key")
                raise LayoutError(f"{self.where}: '{key[:60]}' is not a known key. {remedy}.")

    def needed(self, key: str) -> str:
        value = self.data.get(key)
        if not isinstance(value, str) or not value:
            raise LayoutError(f"{self.where}: '{key}' is missing or not text. Give it.")
        return value

    def optional(self, key: str) -> str | None:
        return None if self.data.get(key) is None else self.needed(key)

    def text(self, key: str, default: str = "") -> str:
        value = self.data.get(key, default)
        if not isinstance(value, str):
            raise LayoutError(f"{self.where}: '{key}' is {_cut(value)}, not text. Give text.")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        value = self.data.get(key, [])
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            raise LayoutError(f"{self.where}: '{key}' is not a list of texts. Give a list.")
        if len(value) > MOST_LISTED:
            raise LayoutError(f"{self.where}: '{key}' lists more than {MOST_LISTED:,} texts. Check the file.")
        return tuple(value)

    def number(self, key: str) -> float | None:
        value = self.data.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < MOST:
            shown = repr(value) if len(repr(value)) < 40 else "far too large"
            raise LayoutError(f"{self.where}: '{key}' is {shown}, not a number. Give a number.")
        return float(value) if isinstance(value, float) else value

    def whole(self, key: str, default: int) -> int:
        value = self.number(key)
        if value is not None and (value != int(value) or value < 0):
            raise LayoutError(f"{self.where}: '{key}' is {value!r}, not a whole number of 0 or more. Give one.")
        return default if value is None else int(value)

    def mapping(self, key: str) -> dict[str, Any]:
        value = self.data.get(key, {})
        if not isinstance(value, dict):
            raise LayoutError(f"{self.where}: '{key}' is not an object. Give an object.")
        return value

    def each(self, key: str) -> list[_Reader]:
        value = self.data.get(key)
        if value is None:
            return []
        if not isinstance(value, list):
            raise LayoutError(f"{self.where}: '{key}' is not a list. Give a list.")
        if len(value) > MOST_LISTED:
            raise LayoutError(f"{self.where}: '{key}' lists more than {MOST_LISTED:,} objects. Check the file.")
        return [_Reader(item, f"{key} {n}{_called(item)}") for n, item in enumerate(value, start=1)]


def _called(item: Any) -> str:
    return f" ({item['name'][:60]})" if isinstance(item, dict) and isinstance(item.get("name"), str) else ""

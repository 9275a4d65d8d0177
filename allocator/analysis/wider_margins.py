"""What would widen a margin, in a sentence with the figure that it would come to."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.branches import Branch, Fed, Mounted
from allocator.evaluation.bundle_figures import Bundle, Warmth, bundle_of
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor, accepts, free_air_a, on_shelf
from allocator.evaluation.resolved_circuits import drops_v
from allocator.problem import Line, Load
from allocator.wiring import standard_fuses, trip_settings

OUTGOING = ("out", "trunk", "branch")


def of_wire(context: Context, branch: Branch, n: int) -> str:
    """The next size for a wire of a circuit or direct load, as far as its output takes it."""
    return of_conductor(context, branch.conductors[n], terminal_of(branch, n))


def terminal_of(branch: Branch, n: int) -> tuple[float, float] | None:
    """Areas that the terminal takes which a wire begins at; None where it begins at none."""
    if isinstance(branch, Fed) and branch.output_class is not None and branch.wires[n].role in OUTGOING:
        return branch.output_class.wire_mm2
    return None


def of_conductor(context: Context, conductor: Conductor, terminal_mm2: tuple[float, float] | None = None) -> str:
    """The next size, or a cooler and emptier way."""
    bigger = wider(context, conductor, terminal_mm2)
    way = "a cooler route"
    if conductor.factor < 1.0:
        less = "beside fewer cables" if conductor.line is Line.CABLE else "with more air round it"
        way = f"a route {less}, or a cooler one"
    if bigger is None or bigger.row is None or bigger.ampacity_a is None:
        return f"no larger size is available: {way}"
    return f"{bigger.row.size} would carry {_figure(bigger.ampacity_a)} A; or {way}"


def of_bundle(context: Context, bundle: Bundle, warmth: Warmth) -> str:
    """The next size for the hottest wire of a bundle, with the share of its heat that it would leave."""
    round_it = f"a way round it for {warmth.hottest}"
    changed = _with_wider(context, warmth.hottest)
    if changed is None:
        return round_it
    size, context = changed
    after = bundle_of(context, bundle.segment).warmest
    left = "" if after is None else f" would leave {100.0 * after.share:.0f} %"
    return f"{size} for {warmth.hottest}{left}; or {round_it}"


def _with_wider(context: Context, label: str) -> tuple[str, Context] | None:
    """The next size of a wire of a circuit or direct load, and the context with it; None where there is none."""
    for branch in context.branches:
        for n, conductor in branch.pairs():
            if conductor.label != label:
                continue
            bigger = wider(context, conductor, terminal_of(branch, n))
            if bigger is None or bigger.row is None:
                return None
            conductors = tuple(bigger if k == n else one for k, one in enumerate(branch.conductors))
            own = replace(branch, conductors=conductors)
            circuits = tuple(own if one is branch else one for one in context.circuits)
            direct = tuple(own if one is branch else one for one in context.direct)
            return bigger.row.size, replace(context, circuits=circuits, direct=direct)  # type: ignore[arg-type]
    return None


def of_drop(context: Context, branch: Branch, load: Load) -> str:
    """A size up where it helps this load most, with the drop that it would leave."""
    outs = [n for n, _ in branch.pairs(*OUTGOING)]
    back = [n for n, _ in branch.pairs("return") if load.name in branch.wires[n].loads]
    terminal = branch.output_class.wire_mm2 if isinstance(branch, Fed) and branch.output_class is not None else None
    choices = []
    for what, wires, limits in (("its way out", outs, terminal), ("its return", back, None)):
        bigger = {n: wider(context, branch.conductors[n], limits) for n in wires}
        size = next((one.row.size for one in bigger.values() if one is not None and one.row is not None), None)
        if size is None or None in bigger.values():
            continue
        conductors = tuple(bigger.get(n) or one for n, one in enumerate(branch.conductors))
        drop = drops_v(replace(branch, conductors=conductors), context.problem.margins.splice_wires)[load.name]
        if drop is not None:
            choices.append((drop, f"{size} for {what} would leave {_figure(drop)} V; or a shorter run"))
    return min(choices)[1] if choices else "no larger size is available: a shorter run"


def of_feed_drop(context: Context, feed: Conductor) -> str:
    """The next size of the feed, with the drop that it would leave."""
    bigger = wider(context, feed)
    if bigger is None or bigger.row is None or bigger.drop_v is None:
        return "no larger size is available: a site nearer to the source"
    return f"{bigger.row.size} would leave {_figure(bigger.drop_v)} V; or a site nearer to the source"


def of_trip(fed: Fed) -> str:
    """The next trip setting, which only a larger margin asks for, and whether the wires stand it."""
    settings = [] if fed.output_class is None else trip_settings(fed.output_class)
    above = [trip for trip in settings if fed.guard_a is not None and trip > fed.guard_a * (1.0 + 1e-9)]
    if not above or fed.rating_a is None or above[0] > fed.rating_a:
        return "an output with a higher setting"
    return f"a larger trip margin: the next setting is {_figure(above[0])} A, {_as_wired(fed, above[0])}"


def of_fuse(fuse_a: float, behind: Branch | Conductor) -> str:
    """The next standard fuse, which only less use of it asks for, and whether the wires stand it."""
    above = next((fuse for fuse in standard_fuses() if fuse > fuse_a * (1.0 + 1e-9)), None)
    if above is None:
        return "less current: there is no larger standard fuse"
    return f"less fuse use: the next fuse is {_figure(above)} A, {_as_wired(behind, above)}"


def _as_wired(behind: Branch | Conductor, guard_a: float) -> str:
    """Whether wires stand a higher trip or fuse as they are."""
    if isinstance(behind, Conductor):
        bears = [behind.ampacity_a]
    else:
        shares = [behind.parallel if behind.wires[n].role == "return" else 1 for n, _ in behind.pairs()]
        ampacities = [one.ampacity_a for one in behind.conductors]
        bears = [None if a is None else a / share for a, share in zip(ampacities, shares, strict=True)]
    known = [ampere for ampere in bears if ampere is not None]
    return "which its wires stand" if known and min(known) >= guard_a else "with larger wire for it"


def of_output(fed: Fed) -> str:
    """Another output, or fewer loads on this one."""
    most = fed.output_class.parallel if fed.output_class is not None and not fed.shared and not fed.bridge else 1
    ways = ["an output of a higher rating"]
    if fed.parallel < most:
        ways.append(f"{fed.parallel + 1} of these in parallel")
    if fed.shared:
        ways.append("one load fewer on it")
    if fed.mounted is not None and fed.mounted.hot < 1.0:
        ways.append("a cooler site")
    return "; or ".join(ways)


def of_rating(context: Context, mounted: Mounted, circuits: tuple[Fed, ...], kind: str) -> str:
    """The circuit that takes most of a unit or bank in its worst condition, put elsewhere.

    Parameters
    ----------
    context
        The evaluated layout.
    mounted
        The unit at its site.
    circuits
        The circuits that it feeds.
    kind
        The word for what is relieved: a unit or a bank.
    """
    cooler = "; or a cooler site" if mounted.hot < 1.0 else ""
    if not circuits:
        return f"nothing is fed from it{cooler}"
    conditions = range(len(context.problem.conditions))
    worst = max(conditions, key=lambda m: context.heating_a(circuits, m))
    largest = max(circuits, key=lambda fed: context.heating_a((fed,), worst))
    others = tuple(fed for fed in circuits if fed is not largest)
    left = max(context.heating_a(others, m) for m in conditions)
    return f"moving {largest.circuit.name} to another {kind} would leave {_figure(left)} A{cooler}"


def of_stud(context: Context, loads: tuple[Load, ...]) -> str:
    """The load that gives most to a ground stud in its worst condition, returned elsewhere."""
    conditions = range(len(context.problem.conditions))
    worst = max(conditions, key=lambda m: sum(load.current_a * load.heating(m) for load in loads))
    largest = max(loads, key=lambda load: load.current_a * load.heating(worst))
    others = [load for load in loads if load is not largest]
    left = max(sum(load.current_a * load.heating(m) for load in others) for m in conditions)
    return f"moving {largest.name} to another stud would leave {_figure(left)} A"


def wider(context: Context, conductor: Conductor, terminal_mm2: tuple[float, float] | None = None) -> Conductor | None:
    """The same conductor in the next size of its table and insulation class that can be had and fitted."""
    problem, row = context.problem, conductor.row
    if row is None:
        return None
    larger = [
        other
        for other in conductor.table.wires
        if other.insulation_c == row.insulation_c
        and other.area_mm2 > row.area_mm2 * (1.0 + 1e-9)
        and (conductor.table is not problem.wires or on_shelf(problem, other))
        and (terminal_mm2 is None or accepts(terminal_mm2, other.area_mm2))
    ]
    if not larger:
        return None
    least = min(larger, key=lambda other: (other.area_mm2, other.size))
    return replace(conductor, row=least, free_a=free_air_a(problem, least, conductor.route))


def _figure(value: float) -> str:
    """Three digits, as many as help to decide."""
    return f"{value:.3g}" if abs(value) < 100.0 else f"{value:.0f}"

"""What is minimised, in grams."""

from __future__ import annotations

from allocator.model.variables import Term, Variables
from allocator.options import OptionList


def objective(v: Variables) -> list[Term]:
    """Branch and feed copper, splices, used and unused outputs, and the share of unit mass that counts.

    ``sum_o (copper[o] + splices[o] c_splice + k[o] (c_used - c_unused)) x[o] + sum_g copper[g] feed[g]
    + sum_d copper[d] direct[d] + sum_s ((outputs[s] - spare[s]) c_unused + unit_mass mass[s]) fit[s]``
    """
    prices = v.option_list.problem.prices
    used = prices.used_output_g - prices.unused_output_g
    terms: list[Term] = [(v.take[o.index], o.plan.price_g + o.outputs * used) for o in v.option_list.options]
    terms += [(v.direct[d.index], d.plan.copper_g) for d in v.option_list.direct]
    terms += [(v.feed[f.index], f.copper_g) for f in v.option_list.feeds]
    for slot in v.option_list.slots:
        idle = (slot.outputs - slot.spare) * prices.unused_output_g
        terms.append((v.fit[slot.index], idle + prices.unit_mass * slot.unit_type.mass_g))
    return terms


def lightest_g(option_list: OptionList) -> float | None:
    """A bound on every layout before anything is solved, in grams: each load by its lightest circuit, feeds left out.

    A circuit of several loads counts for each with its part. None where a load has no circuit at all. Unused
    outputs and unit mass are left out too: they are never worth less than nothing.
    """
    used = option_list.problem.prices.used_output_g
    least: dict[int, float] = {}
    for option in option_list.options:
        part = (option.plan.price_g + option.outputs * used) / sum(n for _, n in option.candidate.members)
        for group, _ in option.candidate.members:
            least[group] = min(least.get(group, part), part)
    if len(least) < len(option_list.load_groups):
        return None
    direct: dict[str, float] = {}
    for own in option_list.direct:
        direct[own.load.name] = min(direct.get(own.load.name, own.plan.copper_g), own.plan.copper_g)
    loads = sum(least[group.index] * len(group.loads) for group in option_list.load_groups)
    return loads + sum(direct.values()) + sum(core.copper_g for core in option_list.given)

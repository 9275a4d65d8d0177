"""What is minimised, in grams."""

from __future__ import annotations

from allocator.choosing.variables import Term, Variables


def objective(v: Variables) -> list[Term]:
    """Branch and feed copper, splices, used and unused outputs, and the share of unit mass that counts.

    ``sum_o (copper[o] + splices[o] c_splice + k[o] (c_used - c_unused)) x[o] + sum_g copper[g] feed[g]
    + sum_d copper[d] direct[d] + sum_s ((outputs[s] - spare[s]) c_unused + unit_mass mass[s]) fit[s]``
    """
    prices = v.pricing.problem.prices
    used = prices.used_output_g - prices.unused_output_g
    terms: list[Term] = [(v.take[o.index], o.plan.price_g + o.outputs * used) for o in v.pricing.options]
    terms += [(v.direct[d.index], d.plan.copper_g) for d in v.pricing.direct]
    terms += [(v.feed[f.index], f.copper_g) for f in v.pricing.feeds]
    for slot in v.pricing.slots:
        idle = (slot.outputs - slot.spare) * prices.unused_output_g
        terms.append((v.fit[slot.index], idle + prices.unit_mass * slot.unit_type.mass_g))
    return terms

"""From the problem to priced options: all that is not linear happens here."""

from allocator.pricing.circuits import Alike, Candidate
from allocator.pricing.conductor import Conductor, Crossing
from allocator.pricing.direct import DirectOption, GivenCore
from allocator.pricing.feeds import FeedOption
from allocator.pricing.finished import Finished, FinishedWire
from allocator.pricing.options import Option
from allocator.pricing.plan import Plan
from allocator.pricing.pricing import Pricing, bank_matters, price, unpriced
from allocator.pricing.refusals import Refusal, Why
from allocator.pricing.relaxing import relaxation
from allocator.pricing.slots import Kind, Slot, SlotClass, milliamperes_down, milliamperes_up
from allocator.pricing.watch import Cutoff, Watch

__all__ = [
    "Alike",
    "Candidate",
    "Conductor",
    "Crossing",
    "Cutoff",
    "DirectOption",
    "FeedOption",
    "Finished",
    "FinishedWire",
    "GivenCore",
    "Kind",
    "Option",
    "Plan",
    "Pricing",
    "Refusal",
    "Slot",
    "SlotClass",
    "Watch",
    "Why",
    "bank_matters",
    "milliamperes_down",
    "milliamperes_up",
    "price",
    "relaxation",
    "unpriced",
]

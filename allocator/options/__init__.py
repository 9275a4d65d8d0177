"""From the problem to its option list: all that is not linear happens here, in grams."""

from allocator.options.already_built import AlreadyBuilt, FinishedWire
from allocator.options.bank_relaxation import with_banks_joined
from allocator.options.candidates import Candidate
from allocator.options.circuit_options import Option
from allocator.options.conductor_option import ConductorOption, Crossing
from allocator.options.cut_short import Cut, CutShort
from allocator.options.direct_options import DirectOption, GivenCore
from allocator.options.faults import Evident, Fault
from allocator.options.feed_options import FeedOption
from allocator.options.lazy_rows import LazyRows
from allocator.options.load_groups import LoadGroup
from allocator.options.option_list import OptionList, bank_matters, empty_option_list, list_options
from allocator.options.pruning import PruningBound
from allocator.options.refusals import Refusal, Why
from allocator.options.slots import Slot, SlotClass, UnitGroup, milliamperes_down, milliamperes_up
from allocator.options.wiring_plan import WiringPlan

__all__ = [
    "AlreadyBuilt",
    "Candidate",
    "ConductorOption",
    "Crossing",
    "Cut",
    "CutShort",
    "DirectOption",
    "Evident",
    "Fault",
    "FeedOption",
    "FinishedWire",
    "GivenCore",
    "LazyRows",
    "LoadGroup",
    "Option",
    "OptionList",
    "PruningBound",
    "Refusal",
    "Slot",
    "SlotClass",
    "UnitGroup",
    "Why",
    "WiringPlan",
    "bank_matters",
    "empty_option_list",
    "list_options",
    "milliamperes_down",
    "milliamperes_up",
    "with_banks_joined",
]

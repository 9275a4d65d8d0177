"""What is asked: frozen objects that know nothing of files, routes, wires or solvers."""

from allocator.problem.loads import CHASSIS, SOURCE, Kind, Load, Supply
from allocator.problem.mistakes import Mistake, ProblemError
from allocator.problem.network import Bulkhead, ContactSet, GivenWire, Line, Place, Run, Segment
from allocator.problem.problem import Problem
from allocator.problem.settings import (
    FAILURES,
    Function,
    Margins,
    Prices,
    Source,
    Wire,
    WireRules,
    WireTable,
)
from allocator.problem.units import Bank, Fit, OutputClass, Unit, UnitType

__all__ = [
    "CHASSIS",
    "FAILURES",
    "SOURCE",
    "Bank",
    "Bulkhead",
    "ContactSet",
    "Fit",
    "Function",
    "GivenWire",
    "Kind",
    "Line",
    "Load",
    "Margins",
    "Mistake",
    "OutputClass",
    "Place",
    "Prices",
    "Problem",
    "ProblemError",
    "Run",
    "Segment",
    "Source",
    "Supply",
    "Unit",
    "UnitType",
    "Wire",
    "WireRules",
    "WireTable",
]

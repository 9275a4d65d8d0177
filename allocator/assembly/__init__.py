"""From a solution to a layout: pins, contacts, fuses and figures for what the model has only counted."""

from allocator.assembly.assemble import assemble

__all__ = ["assemble"]

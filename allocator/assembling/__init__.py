"""From a choice to a layout: pins, contacts, fuses and figures for what the model has only counted."""

from allocator.assembling.whole import assemble

__all__ = ["assemble"]

"""A layout adapted to a problem that has changed since: what is built stays where it can."""

from allocator.revising.revise import Revision, revise
from allocator.revising.what_changed import Change, WireChange

__all__ = ["Change", "Revision", "WireChange", "revise"]

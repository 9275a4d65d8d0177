"""A layout made good for a problem that has changed since: what is built stays where it can."""

from allocator.advising.revising.changes import Change, WireChange
from allocator.advising.revising.revise import Revision, revise

__all__ = ["Change", "Revision", "WireChange", "revise"]

"""What follows from a frozen object alone: worked out once, and kept with the object for as long as it lives."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

Given = TypeVar("Given")
Answer = TypeVar("Answer")


def once(function: Callable[[Given], Answer]) -> Callable[[Given], Answer]:
    """A function of one frozen object that is asked once for each.

    The answer stands beside the object's fields, as that of a `functools.cached_property` does: for what another room
    works out, that the object's own may not know. A changed copy (`dataclasses.replace`) starts anew. The object must
    not have slots.
    """
    name = f"{function.__module__}.{function.__qualname__}"

    @wraps(function)
    def kept(given: Given) -> Answer:
        answers = vars(given)
        if name not in answers:
            answers[name] = function(given)
        answer: Answer = answers[name]
        return answer

    return kept

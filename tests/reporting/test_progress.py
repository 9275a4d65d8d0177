from __future__ import annotations

from dataclasses import dataclass
from io import StringIO

from allocator.reporting.progress import ProgressDisplay, line
from tests.reporting.test_text import Terminal


@dataclass
class Moment:
    best_g: float | None
    bound_g: float | None
    gap: float | None


UNKNOWN = Moment(None, None, None)
SOME = Moment(5312.4, 5000.0, 0.0588)


def test_a_moment_shows_best_bound_gap_and_seconds():
    assert line(SOME, 12.3) == "best 5,312.4 g, bound 5,000.0 g, gap 5.88 %, 12 s"


def test_what_is_not_known_is_not_shown_as_a_number():
    assert line(UNKNOWN, 0.2) == "no layout yet, no bound yet, 0 s"


def test_a_pipe_gets_a_plain_line_at_intervals():
    stream = StringIO()
    times = iter((100.0, 100.1, 101.0, 104.9, 105.2, 106.0, 110.4))
    with ProgressDisplay(stream, interval_s=5.0, clock=lambda: next(times)) as display:
        for _ in range(6):
            display(UNKNOWN)
    assert [text[-4:].strip() for text in stream.getvalue().splitlines()] == ["0 s", "5 s", "10 s"]
    assert "\r" not in stream.getvalue()


def test_a_terminal_gets_one_line_that_is_cleared_at_the_end():
    stream = Terminal()
    with ProgressDisplay(stream) as display:
        display(SOME)
        display(UNKNOWN)
    assert "\n" not in stream.getvalue()
    assert stream.getvalue().endswith(" \r")

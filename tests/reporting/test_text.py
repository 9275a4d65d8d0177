from __future__ import annotations

from io import StringIO

import pytest

from allocator.reporting.blocks import Heading, Paragraph, cell_text, counted, number, short
from allocator.reporting.reading_order import whole
from allocator.reporting.text import WIDTH, plain, printable, show
from allocator.table import Table, count, figure, text, texts
from tests.reporting.samples import LAYOUT, PROBLEM

TABLE = Table(
    columns=(text("pin", whole=True), text("feeds"), figure("", "A")),
    rows=(("S1", "pump [x]", 4.4), ("S2", "[/x] lamp", 12.0)),
)


class Terminal(StringIO):
    def isatty(self):
        return True


def test_a_table_is_aligned_under_a_rule_of_hyphens():
    assert plain([TABLE]) == (
        "pin  feeds          A\n---------------------\nS1   pump [x]    4.40\nS2   [/x] lamp  12.00\n"
    )


def test_square_brackets_of_a_user_are_no_markup():
    text = plain([Heading("[bold]a[/bold]"), Paragraph("[/x]")])
    assert text == "[bold]a[/bold]\n[/x]\n"


def test_control_characters_of_a_user_reach_no_terminal():
    assert printable("a\x1b[31mb\tc").plain == "a?[31mb?c"


def test_a_pipe_gets_no_colour_and_no_box():
    stream = StringIO()
    show(whole(PROBLEM, LAYOUT), stream)
    assert stream.getvalue().isascii()
    assert "\x1b" not in stream.getvalue()


@pytest.mark.parametrize("name", ["FORCE_COLOR", "TTY_COMPATIBLE", "CLICOLOR_FORCE"])
def test_a_pipe_gets_no_colour_whatever_the_environment_asks(monkeypatch, name):
    monkeypatch.setenv(name, "1")
    stream = StringIO()
    show(whole(PROBLEM, LAYOUT), stream)
    assert "\x1b" not in stream.getvalue()


def test_a_terminal_gets_colour_and_rules(monkeypatch):
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    stream = Terminal()
    show([Paragraph("Clean.", "good"), TABLE], stream)
    assert "\x1b[32m" in stream.getvalue()
    assert "─" in stream.getvalue()


def test_no_line_is_longer_than_80_columns():
    assert max(map(len, plain(whole(PROBLEM, LAYOUT)).splitlines())) <= WIDTH


def test_long_names_are_folded_and_numbers_are_kept():
    name = "a very long name of a consumer that nobody would print on a label " * 2
    rows = (("S1", name, 1234.56), ("P" * 40, "x" * 100, 7.0))
    text = plain([Table(columns=TABLE.columns, rows=rows)])
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "1,234.56" in text
    assert text.count("x") == 100


def test_the_lines_of_an_indented_cell_are_all_indented():
    text = plain([Table(columns=TABLE.columns[:2], rows=(("S1", "  " + "word " * 20),))])
    assert all(line.startswith(("S1     word", "       word")) for line in text.splitlines()[2:])


def test_the_lines_of_an_item_hang_under_its_first():
    lines = plain([Paragraph("* " + "word " * 30)]).splitlines()
    assert lines[0].startswith("* word")
    assert all(line.startswith("  word") for line in lines[1:])


def test_numbers_have_thousands_set_apart_and_nothing_when_unknown():
    assert (number(5312.44, 1), number(None)) == ("5,312.4", "")
    assert (short(7.5), short(20.0), short(None)) == ("7.5", "20", "")


@pytest.mark.parametrize(
    ("cell", "column", "said"),
    [
        (1234.567, figure("length", "m"), "1,234.57"),
        (7.5, figure("trip", "A", significant=10), "7.5"),
        (1234, count("wires"), "1,234"),
        (1234, text("number"), "1234"),
        ("none left", figure("room"), "none left"),
        (None, figure("room"), ""),
    ],
)
def test_a_column_says_how_its_cells_are_read(cell, column, said):
    assert cell_text(cell, column) == said


def test_counts_agree_with_their_noun():
    assert (counted(1, "splice"), counted(2310, "splice")) == ("1 splice", "2,310 splices")


def test_a_table_without_end_is_cut_and_says_so(monkeypatch):
    monkeypatch.setattr("allocator.reporting.text.MOST_ROWS", 3)
    rows = tuple((f"lamp {n}",) for n in range(5))
    table = Table(columns=texts("load"), rows=rows)
    shown = plain([table])
    assert "lamp 2" in shown
    assert "lamp 3" not in shown
    assert "... and 2 rows more, which --json gives, and the lists that --out writes" in " ".join(shown.split())

"""A table as CSV."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from io import StringIO

from allocator.reporting.harmless import harmless
from allocator.table import Table


def csv_text(table: Table, marks: Mapping[str, str] | None = None) -> str:
    """One line of keys, then the rows, harmless for spreadsheet programs; what is not known is empty.

    ``marks`` stand in columns of their own at the end of every row.
    """
    marks = marks or {}
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(map(harmless, (*table.keys, *marks)))
    writer.writerows(map(harmless, (*row, *marks.values())) for row in table.rows)
    return stream.getvalue()

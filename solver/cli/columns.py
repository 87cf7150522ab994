"""Columns of plain text, as wide as their widest cell, numbers to the right; and lines of CSV."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

FORMULA = ("=", "+", "-", "@", "\t", "\r")  # a cell of text that begins so is a formula to a spreadsheet


def aligned(rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset(), gap: str = "  ") -> Iterator[str]:
    """Each row as a line; columns of `right` (by place) stand to the right, `gap` between them."""
    wide = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))] if rows else []
    for row in rows:
        cells = (c.rjust(w) if i in right else c.ljust(w) for i, (c, w) in enumerate(zip(row, wide, strict=True)))
        yield gap.join(cells).rstrip()


def csv_text(names: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    """A line of names, then a line for each row of values as JSON has them.

    A list is joined with " + ", a range's two ends with ".."; nothing is an empty cell.
    A text that a spreadsheet would work out as a formula has an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([_plain(value) for value in row] for row in rows)
    return out.getvalue()


def _plain(value: object) -> object:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list | tuple):
        return _plain(
            (".." if isinstance(value, tuple) else " + ").join(str(v) for v in value)
        )  # "+brd" may come first
    if isinstance(value, str) and value.startswith(FORMULA):
        return "'" + value
    return "" if value is None else value

"""Columns of plain text, as wide as their widest cell on a terminal, numbers to the right; and lines of CSV."""

import csv
import io
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest

from rich.cells import cell_len

LEAST = 12  # cells that a column of text keeps when it is folded
FILLER = "\ue004"  # a private sign: no name holds it
FORMULA = ("=", "+", "-", "@", "\t", "\r")  # a cell of text that begins so is a formula to a spreadsheet


def aligned(
    rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset(), gap: str = "  ", width: int | None = None
) -> Iterator[str]:
    """Each row as one text; columns of `right` (by place) stand to the right, `gap` between them.

    Wider than `width`, columns of text are folded, down to LEAST; where that is not enough the first row is nothing and
    each further one its cells in words, after what the first one calls them.
    """
    wide = [max(cell_len(row[i]) for row in rows) for i in range(len(rows[0]))] if rows else []
    if width is not None and not _narrowed(wide, right, width - len(gap) * (len(wide) - 1)):
        yield ""
        yield from (_in_words(rows[0], row, width) for row in rows[1:])
        return
    for row in rows:
        cells = [wrap(c, w) if cell_len(c) > w else [c] for c, w in zip(row, wide, strict=True)]
        yield "\n".join(
            gap.join(_padded(c, w, i in right) for i, (c, w) in enumerate(zip(line, wide, strict=True))).rstrip()
            for line in zip_longest(*cells, fillvalue="")
        )


def wrap(text: str, width: int, **more: str) -> list[str]:
    """textwrap's lines, measured in cells of a terminal: what takes two of them counts as two."""
    spread = "".join(c + FILLER if cell_len(c) == 2 else c for c in text)
    lines = [line.replace(FILLER, "") for line in textwrap.wrap(spread, width, **more)]  # type: ignore[arg-type]
    split = any(cell_len(line) > width for line in lines)  # within a sign of two cells
    return wrap(text, width - 1, **more) if split and width > 2 else lines


def _narrowed(wide: list[int], right: frozenset[int], width: int) -> bool:
    """Make the widest columns of text narrower until all fit; whether they do."""
    texts = [i for i in range(len(wide)) if i not in right]
    while sum(wide) > width and any(wide[i] > LEAST for i in texts):
        wide[max(texts, key=lambda i: wide[i])] -= 1
    return sum(wide) <= width


def _in_words(heads: Sequence[str], row: Sequence[str], width: int) -> str:
    """The cells of a row that hold anything, each after its heading, folded."""
    told = (f"{head} {cell}".strip() for head, cell in zip(heads, row, strict=True) if cell)
    return "\n".join(wrap("; ".join(told), width, subsequent_indent="  "))


def _padded(cell: str, wide: int, right: bool) -> str:
    room = " " * (wide - cell_len(cell))
    return room + cell if right else cell + room


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

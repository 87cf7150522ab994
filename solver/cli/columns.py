"""Aligned columns of plain text: as wide as their widest cell, numbers to the right."""

from collections.abc import Iterator, Sequence


def aligned(rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> Iterator[str]:
    """Each row as a line; columns of `right` (by place) stand to the right."""
    wide = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))] if rows else []
    for row in rows:
        cells = (c.rjust(w) if i in right else c.ljust(w) for i, (c, w) in enumerate(zip(row, wide, strict=True)))
        yield "  ".join(cells).rstrip()

"""Beside its band a piece keeps at least two plain rows (own)."""

from collections.abc import Iterator

from catalog.figure import figure
from solver.rule import Gap, Rule
from solver.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.has_plain:
            yield Gap(int(figure("least_plain_rows")), piece.rows_plain, "rows")


RULE = Rule("room-for-plain", "there is room for plain rows", gaps)

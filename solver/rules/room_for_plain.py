"""Every plain part has at least two rows (own): beside a band, and on either side of an opening."""

from collections.abc import Iterator

from catalog.figure import figure
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        for section, rows in zip(piece.ask.sections, piece.rows, strict=True):
            if section.kind == "plain":
                yield Gap(int(figure("least_plain_rows")), rows, "rows", piece.ask.name)


RULE = Rule("room-for-plain", "there is room for plain rows", gaps)

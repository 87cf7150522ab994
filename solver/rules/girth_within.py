"""The finished girth misses the wanted one by no more than the limit."""

from collections.abc import Iterator

from solver.rule import Gap, Rule
from solver.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        yield Gap(piece.ask.girth_low_um, piece.girth_um, "um", "least")
        yield Gap(piece.girth_um, piece.ask.girth_um + piece.ask.girth_tol_um, "um", "most")


RULE = Rule("girth-within", "the girth is near enough to the one wanted", gaps)

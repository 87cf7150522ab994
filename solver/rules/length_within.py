"""The finished length misses the wanted one by no more than the limit."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        yield Gap(piece.ask.length_um - piece.ask.length_tol_um, piece.length_um, "um", "least")
        yield Gap(piece.length_um, piece.ask.length_um + piece.ask.length_tol_um, "um", "most")


RULE = Rule("length-within", "the length is near enough to the one wanted", gaps)

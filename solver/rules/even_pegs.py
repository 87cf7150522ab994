"""The pegs pair: a drawn cast-on wraps every other peg first, and short rows take half of them."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.even:
            yield Gap(piece.pegs, 2 * piece.pairs, "pegs", "over")
            yield Gap(2 * piece.pairs, piece.pegs, "pegs", "under")


RULE = Rule("even-pegs", "the pegs pair for the drawn cast-on or the short rows", gaps)

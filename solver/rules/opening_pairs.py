"""A piece picked up from an opening has as many loops from either edge, so that the opening is whole pegs."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.picked_up:
            yield Gap(piece.pegs, 2 * piece.pairs, "pegs", "over")
            yield Gap(2 * piece.pairs, piece.pegs, "pegs", "under")


RULE = Rule("opening-pairs", "the opening is whole pegs, as many loops from either edge", gaps)

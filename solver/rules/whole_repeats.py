"""The pegs in work are a whole number of rib repeats, so that the rib meets itself."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.repeat > 1:
            fabric, repeats = piece.pegs - piece.ask.edge, piece.ask.repeat * piece.repeats
            yield Gap(fabric, repeats, "pegs", "over")
            yield Gap(repeats, fabric, "pegs", "under")


RULE = Rule("whole-repeats", "the pegs are whole repeats of the rib", gaps)

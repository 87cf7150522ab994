"""The finished girth misses the wanted one by no more than the limit; so does an opening at its own gauge."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        least, most = piece.ask.girth_low_um, piece.ask.girth_um + piece.ask.girth_tol_um
        for girth in (piece.girth_um, piece.opening_um) if piece.ask.picked_up else (piece.girth_um,):
            yield Gap(least, girth, "um", "least")
            yield Gap(girth, most, "um", "most")


RULE = Rule("girth-within", "the girth is near enough to the one wanted", gaps)

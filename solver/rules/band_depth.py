"""The band is as deep as was asked."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.band:
            yield Gap(piece.ask.band.least_um, piece.band_um, "um", "least")
            yield Gap(piece.band_um, piece.ask.band.most_um, "um", "most")


RULE = Rule("band-depth", "the band is as deep as asked", gaps)

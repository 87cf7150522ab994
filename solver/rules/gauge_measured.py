"""Where the ask says so, only settings that the knitter has swatched."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    if setup.ask.measured_only:
        for piece in setup.pieces:
            yield Gap(1, int(piece.way.swatched), "swatches")


RULE = Rule("gauge-measured", "the setting has a swatch", gaps, of_way=True)

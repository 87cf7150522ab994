"""All strands together are neither thread nor rope between the pegs: 0.15 to 0.46 of the pitch, lofty (own)."""

from collections.abc import Iterator

from catalog.figure import ppm
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for way in {p.way.key: p.way for p in setup.pieces}.values():
        if way.swatched or way.lofty_um is None:
            continue
        yield Gap(ppm("lofty_least_of_pitch") * way.loom.pitch_um, 1_000_000 * way.lofty_um, "ppm um", "thin")
        yield Gap(1_000_000 * way.lofty_um, ppm("lofty_most_of_pitch") * way.loom.pitch_um, "ppm um", "thick")


RULE = Rule("yarn-suits-pitch", "the yarn suits the distance between the pegs", gaps, of_way=True)

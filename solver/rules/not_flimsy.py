"""The fabric has body: tightness √tex over loop at least 0.50 √tex/mm (own)."""

from collections.abc import Iterator

from catalog.figure import figure
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    least, per = figure("flimsy_tightness").as_integer_ratio()
    for way in {p.way.key: p.way for p in setup.pieces}.values():
        if not way.swatched and way.tightness is not None:
            yield Gap(least * way.loop_um, per * way.tightness, "tightness")


RULE = Rule("not-flimsy", "the fabric is not flimsy", gaps, of_way=True)

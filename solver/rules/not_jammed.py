"""The loop is long enough for its yarn to bend: loop over pressed diameter at least 16.7 (published)."""

from collections.abc import Iterator

from catalog.figure import figure
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    least, per = figure("jam_ratio").as_integer_ratio()
    for way in {p.way.key: p.way for p in setup.pieces}.values():
        if not way.swatched and way.pressed_um is not None:
            yield Gap(least * way.pressed_um, per * way.loop_um, "um")


RULE = Rule("not-jammed", "the loops are not jammed", gaps, of_way=True)

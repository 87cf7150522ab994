"""All pieces and copies together take no more yarn than there is."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    if setup.way.on_hand_um is not None:
        yield Gap(setup.yarn_um, setup.way.on_hand_um, "um")


RULE = Rule("yarn-on-hand", "the yarn on hand lasts", gaps)

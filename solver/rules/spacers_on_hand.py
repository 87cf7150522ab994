"""The spacer setting is one the loom allows, and there are spacers enough for every bolt of every board."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        loom, setting = piece.way.loom, piece.way.spacers
        yield Gap(setting, loom.spacers_most, "spacers", "setting")
        if setting:
            yield Gap(setting * loom.bolts_per_board * piece.boards, loom.spacers_on_hand, "spacers", "stock")


RULE = Rule("spacers-on-hand", "the spacers for that setting are on hand", gaps)

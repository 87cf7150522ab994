"""Every board that is bolted in lies in the cupboard: two of each for the two sides, two for the two ends."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        loom = piece.way.loom
        for board, count in [*zip(loom.boards, piece.sides, strict=True), *zip(loom.ends, piece.ends, strict=True)]:
            yield Gap(2 * count, board.on_hand, "boards", board.name)


RULE = Rule("boards-on-hand", "the boards bolted together are on hand", gaps)

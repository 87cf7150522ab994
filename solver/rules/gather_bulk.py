"""All loops of a drawn end meet at one point: pegs × lofty diameter within the item's limit (own)."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.bulk_limit_um is not None:
            yield Gap(piece.bulk_um, piece.ask.bulk_limit_um, "um", piece.ask.name)


RULE = Rule("gather-bulk", "the drawn end closes without a lump", gaps)

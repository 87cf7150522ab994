"""What must pass goes through: the tube stretches to 1.6 times the relaxed plain girth of its pegs (own)."""

from collections.abc import Iterator

from catalog.figure import figure
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    tenths = int(figure("stretch_limit") * 10)
    for piece in setup.pieces:
        if piece.ask.must_pass_um is not None:
            yield Gap(10 * piece.ask.must_pass_um, tenths * piece.girth_um, "0.1 um", piece.ask.name)


RULE = Rule("stretches-over", "it stretches over what must pass", gaps)

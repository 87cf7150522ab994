"""What must pass goes through: the tube stretches to 1.6 times the relaxed plain girth of its pegs (own)."""

from collections.abc import Iterator

from catalog.figure import figure
from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    most, per = figure("stretch_limit").as_integer_ratio()
    for piece in setup.pieces:
        if piece.ask.must_pass_um is not None:
            yield Gap(per * piece.ask.must_pass_um, most * piece.girth_um, "um", piece.ask.name)


RULE = Rule("stretches-over", "it stretches over what must pass", gaps)

"""What must pass goes through: the tube to 1.6 times the relaxed plain girth of its pegs, an edge as far as it does."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        if piece.ask.must_pass_um is not None and not piece.ask.passes_anyway:
            most, per = piece.ask.stretch.as_integer_ratio()
            yield Gap(per * piece.ask.must_pass_um, most * piece.girth_um, "um", piece.ask.name)


RULE = Rule("stretches-over", "it stretches over what must pass", gaps)

"""The pegs in work are pegs that the loom can offer."""

from collections.abc import Iterator

from solver.rule import Gap, Rule
from solver.setup import PieceSetup, Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        yield from _frame(piece) if piece.way.loom.build == "boards" else _whole(piece)


def _whole(piece: PieceSetup) -> Iterator[Gap]:
    """A ring works every peg, a slider from its least to its most; flat, part of a ring or one row of a slider."""
    loom, flat = piece.way.loom, piece.ask.flat
    most = loom.pegs_most // 2 if flat and loom.build == "slider" else loom.pegs_most
    yield Gap(piece.pegs, most, "pegs", "most")
    yield Gap(1 if flat else loom.pegs_least, piece.pegs, "pegs", "least")


def _frame(piece: PieceSetup) -> Iterator[Gap]:
    """A side holds at least a board, one only unless boards may be joined; its ends sit at its last peg or anywhere."""
    loom, on_side = piece.way.loom, sum(piece.sides)
    yield Gap(piece.along, piece.along_most, "pegs", "most")
    if not loom.ends_anywhere and not piece.ask.flat:
        yield Gap(piece.along_most, piece.along, "pegs", "ends")
    yield Gap(1, on_side, "boards", "least")
    if not loom.joining:
        yield Gap(on_side, 1, "boards", "joining")


RULE = Rule("pegs-on-loom", "the loom has that many pegs", gaps)

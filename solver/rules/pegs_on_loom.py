"""The pegs in work are pegs that the loom can offer."""

from collections.abc import Iterator

from solver.model.ask import FLAT_PEGS
from solver.model.rule import Gap, Rule
from solver.model.setup import PieceSetup, Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        yield from _frame(piece) if piece.way.loom.build == "boards" else _whole(piece)


def _whole(piece: PieceSetup) -> Iterator[Gap]:
    """A ring works every peg, a slider from its least to its most; flat, part of a ring or one row of a slider, two
    pegs at least.
    """
    loom, flat = piece.way.loom, piece.ask.flat
    most = loom.pegs_most // 2 if flat and loom.build == "slider" else loom.pegs_most
    yield Gap(piece.pegs, most, "pegs", "most")
    yield Gap(FLAT_PEGS if flat else loom.pegs_least, piece.pegs, "pegs", "least")


def _frame(piece: PieceSetup) -> Iterator[Gap]:
    """The pegs in work lie on the boards of the sides; the ends sit at their last peg, or anywhere, so far apart that a
    hook gets in.
    """
    loom = piece.way.loom
    if piece.ask.flat:
        yield Gap(piece.pegs, piece.along_most, "pegs", "most")
        yield Gap(FLAT_PEGS, piece.pegs, "pegs", "least")
        return
    yield Gap(piece.along, piece.along_most, "pegs", "most")
    if loom.ends_anywhere and piece.ends:
        far = sum(loom.along_least(end) * one for end, one in zip(loom.ends, piece.ends, strict=True))
        yield Gap(far, piece.along, "pegs", "apart")
    if not loom.ends_anywhere:
        yield Gap(piece.along_most, piece.along, "pegs", "ends")


RULE = Rule("pegs-on-loom", "the loom has that many pegs", gaps)

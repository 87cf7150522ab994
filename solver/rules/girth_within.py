"""The finished girth misses the wanted one by no more than the limit; so does an opening at its own gauge."""

from collections.abc import Iterator

from solver.model.rule import Gap, Rule
from solver.model.setup import PieceSetup, Setup


def gaps(setup: Setup) -> Iterator[Gap]:
    for piece in setup.pieces:
        yield Gap(piece.ask.girth_low_um, piece.girth_um, "um", "least")
        yield Gap(piece.girth_um, piece.ask.girth_um + piece.ask.girth_tol_um, "um", "most")
        for section in piece.ask.sections:
            if section.opens is not None:
                yield from _opening(piece, setup.pieces[section.opens])


def _opening(piece: PieceSetup, picked_up: PieceSetup) -> Iterator[Gap]:
    """A piece picked up at another gauge: its loops as wide as they lie in the opening, both edges together."""
    wanted, edges_um = picked_up.ask, picked_up.pegs * piece.way.width_um
    if piece.way.width_um != picked_up.way.width_um:
        yield Gap(wanted.girth_low_um, edges_um, "um", "opening least")
        yield Gap(edges_um, wanted.girth_um + wanted.girth_tol_um, "um", "opening most")


RULE = Rule("girth-within", "the girth is near enough to the one wanted", gaps)

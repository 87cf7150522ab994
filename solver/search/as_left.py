"""How a lesser piece finds its loom: as an earlier piece left it, with the least change from there.

The changes of an option are counted from how the looms stand today, piece by piece, and order the options; which boards
a thumb then gets is settled here, since nobody takes a frame apart for nine pegs that the hand's boards hold.
"""

from dataclasses import replace

from solver.model.ask import AsItStands, Ask
from solver.model.setup import Finished, FinishedPiece
from solver.search.boards import choices_of, handiest


def as_left(ask: Ask, setup: Finished) -> dict[str, int]:
    """The board choices of every piece whose loom an earlier one was worked on; empty where none shares a loom."""
    values: dict[str, int] = {}
    left: dict[str, AsItStands] = {}
    for i, piece in enumerate(setup.pieces):
        loom = piece.way.loom
        if not piece.sides:
            continue
        stands = _stands(piece)
        if loom.name in left:
            way = replace(piece.way, loom=replace(loom, stands=left[loom.name]))
            laid = handiest(ask, way, piece.pegs, piece.ask.flat)
            if laid is not None:
                values |= choices_of(laid, i, way, piece.pegs, piece.ask.flat)
                end = laid.end if loom.ends else None
                pegs = sum(-c * b.pegs for c, b in zip(laid.fewer, loom.boards, strict=True))
                along = pegs if piece.ask.flat else values[f"{i}.along"]
                stands = AsItStands(
                    sides=tuple(-c for c in laid.fewer), end=end, along=along, spacers=piece.way.spacers
                )
        left[loom.name] = stands
    return values


def _stands(piece: FinishedPiece) -> AsItStands:
    """How a frame stands when a piece is done."""
    end = next((j for j, c in enumerate(piece.ends) if c), None)
    return AsItStands(sides=piece.sides, end=end, along=piece.along, spacers=piece.way.spacers)

"""Windows of the search: the pegs in reach of a loom, and the pegs and rows that the ask leaves on a way to work.

They only ever leave out what cannot be: stocks that several choices share (spacers, yarn) are left to the model.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from math import ceil

from catalog.figure import figure
from solver.model.ask import FAR_PEGS, Ask, LoomAsk, PieceAsk, Way
from solver.model.setup import boards_most, rows_most, rows_reached
from solver.rules.sure_enough import pegs_sure


def pegs_in_reach(
    loom: LoomAsk, piece: PieceAsk, dropped: frozenset[str], pinned: int | None = None, boards: int | None = None
) -> tuple[int, ...]:
    """All peg counts, in order, that the loom's own laws and the piece's repeats may allow.

    `boards` is the most boards that a side may have, where spacers are short.
    """
    far = "boards-on-hand" in dropped
    pegs = set(range(1, FAR_PEGS + 1)) if "pegs-on-loom" in dropped else _pegs(loom, piece, far, boards)
    if boards is not None and boards < 1:
        return ()
    if piece.repeat > 1 and "whole-repeats" not in dropped:
        pegs = {n for n in pegs if (n - piece.edge) % piece.repeat == 0 and n >= piece.edge}
    if piece.even and "even-pegs" not in dropped:
        pegs = {n for n in pegs if n % 2 == 0}
    if piece.picked_up and "opening-pairs" not in dropped:
        pegs = {n for n in pegs if n % 2 == 0}
    if pinned is not None and "pin-pegs" not in dropped:
        pegs &= {pinned}
    return tuple(sorted(n for n in pegs if 1 <= n <= FAR_PEGS))


def _pegs(loom: LoomAsk, piece: PieceAsk, far: bool, boards: int | None) -> set[int]:
    if loom.build == "boards":
        return _frame_pegs(loom, piece, far, boards)
    if piece.flat:
        return set(range(1, (loom.pegs_most // 2 if loom.build == "slider" else loom.pegs_most) + 1))
    return set(range(loom.pegs_least, loom.pegs_most + 1, 2))


def _frame_pegs(loom: LoomAsk, piece: PieceAsk, far: bool, boards: int | None) -> set[int]:
    sides = side_pegs(loom, far, boards)
    if not sides:
        return set()
    if piece.flat:
        return set(range(1, max(sides) + 1))
    along = range(1, max(sides) + 1) if loom.ends_anywhere else sides
    ends = {e.pegs for e in loom.ends if far or e.on_hand >= 2} if loom.ends else {0}
    return {2 * (k + e) for k in along for e in ends}


def side_pegs(loom: LoomAsk, far: bool, boards: int | None = None) -> set[int]:
    """The pegs that one side can have: one board, or boards end to end, two of each on hand (or any few)."""
    most = boards_most(loom, far)
    if boards is not None:
        most = min(most, boards)
    elif loom.joining and not far:
        return _sums([(b.pegs, b.on_hand // 2) for b in loom.boards])
    sums = {(0, 0)}  # pegs and boards so far
    for board in loom.boards:
        here = most if far else min(most, board.on_hand // 2)
        sums = {
            (s + c * board.pegs, n + c)
            for s, n in sums
            for c in range(min(here, most - n) + 1)
            if s + c * board.pegs <= FAR_PEGS
        }
    return {s for s, n in sums if n}


def boards_a_side(ask: Ask, way: Way) -> int | None:
    """The most boards that a side may have with the spacers on hand; None where they do not matter."""
    loom = way.loom
    bolts = way.spacers * loom.bolts_per_board
    if loom.build != "boards" or not bolts or "spacers-on-hand" in ask.dropped:
        return None
    return (loom.spacers_on_hand // bolts - (2 if loom.ends else 0)) // 2


def _sums(each: Sequence[tuple[int, int]]) -> set[int]:
    """All sums but 0 of so many of each."""
    sums = {0}
    for size, most in each:
        sums = {s + c * size for s in sums for c in range(most + 1) if s + c * size <= FAR_PEGS}
    return sums - {0}


def pegs_window(ask: Ask, piece: PieceAsk, way: Way, counts: Sequence[int]) -> Sequence[int]:
    """The peg counts whose girth, bulk and stretch the ask allows."""
    least, most, w = 1, FAR_PEGS, way.width_um
    if "girth-within" not in ask.dropped:
        least = -(-piece.girth_low_um // w)
        most = (piece.girth_um + piece.girth_tol_um) // w
    if piece.bulk_limit_um is not None and way.lofty_um and "gather-bulk" not in ask.dropped:
        most = min(most, piece.bulk_limit_um // way.lofty_um)
    if piece.must_pass_um is not None and "stretches-over" not in ask.dropped:
        least = max(least, ceil(piece.must_pass_um / (figure("stretch_limit") * w)))
    if ask.sure_ppm is not None and piece is ask.pieces[0] and "sure-enough" not in ask.dropped:
        sure = pegs_sure(ask, way)
        if sure is None:
            return ()
        least, most = max(least, sure[0]), min(most, sure[1])
    return counts[bisect_left(counts, least) : bisect_right(counts, most)]


def rows_window(ask: Ask, piece: PieceAsk, way: Way) -> tuple[int, int] | None:
    """Least and most rows in all that the length, the band and the plain part allow; None for none."""
    least, most, h = 0, rows_most(piece, way), way.height_um
    if "length-within" not in ask.dropped:
        least = max(0, -((piece.length_tol_um - piece.length_um) // h))
        most = min(most, (piece.length_um + piece.length_tol_um) // h)
    least = max(least, rows_least(ask, piece, way))
    return (least, most) if least <= most and (not piece.reaches or _reaches_far(ask, piece, way)) else None


def _reaches_far(ask: Ask, piece: PieceAsk, way: Way) -> bool:
    """Whether every plain part whose rows a length gives has rows enough."""
    short = int(figure("least_plain_rows"))
    return "room-for-plain" in ask.dropped or all(
        rows >= short
        for s, rows in zip(piece.sections, rows_reached(piece, way), strict=True)
        if s.rows == "reach" and s.kind == "plain"
    )


def rows_least(ask: Ask, piece: PieceAsk, way: Way) -> int:
    """The fewest rows that bands and plain parts take together."""
    plain = int(figure("least_plain_rows")) if piece.rest_plain and "room-for-plain" not in ask.dropped else 0
    band = band_window(ask, piece, way, 0)[0] if piece.band else 0
    return plain + piece.bands * band + (sum(rows_reached(piece, way)) if piece.reaches else 0)


def band_window(ask: Ask, piece: PieceAsk, way: Way, most: int) -> tuple[int, int]:
    """Least and most rows of one band by its depth; `most` where the depth is free."""
    if piece.band is None or "band-depth" in ask.dropped:
        return 1, most
    return max(1, -(-piece.band.least_um // way.height_um)), piece.band.most_um // way.height_um

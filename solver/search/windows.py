"""Windows of the search: the pegs in reach of a loom, and the pegs and rows that the ask leaves on a way to work.

They are the rules' own gaps, read by rules/reading.py, and only ever leave out what cannot be: stocks that several
choices share (spacers, yarn) are left to the model.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from solver.model.ask import FAR_PEGS, Ask, LoomAsk, PieceAsk, Way
from solver.model.setup import rows_most, rows_reached
from solver.rules.reading import Line, Lines, Over, kept, lacks_of, lines_on
from solver.search.frames import offered

NO_BOUND = 1 << 30  # more than any count of pegs or rows


def pegs_in_reach(ask: Ask, i: int, loom: LoomAsk, boards: int | None = None) -> tuple[int, ...]:
    """All peg counts, in order, that the loom's own laws and the repeats and pairs of piece i may allow.

    `boards` is the most boards that a side may have, where spacers are short.
    """
    if boards is not None and boards < 1:
        return ()
    counts: Iterable[int] = range(1, FAR_PEGS + 1)
    if "pegs-on-loom" not in ask.dropped:
        counts = offered(loom, ask.pieces[i].flat, "boards-on-hand" in ask.dropped, boards)
    lacks = lacks_of(ask, i, held=True).values()
    return tuple(n for n in counts if n <= FAR_PEGS and not any(each[n] for each in lacks))


def boards_a_side(ask: Ask, way: Way) -> int | None:
    """The most boards that a side may have with the spacers on hand; None where they do not matter."""
    loom = way.loom
    bolts = way.spacers * loom.bolts_per_board
    if loom.build != "boards" or not bolts or "spacers-on-hand" in ask.dropped:
        return None
    # of the boards that can be bolted two are the ends, which a frame must have; its two equal sides share the rest
    return (loom.spacers_on_hand // bolts - (2 if loom.ends else 0)) // 2


class Window(NamedTuple):
    """What the rules leave of a piece on a way: counts of pegs, of all rows, of one band's rows, and of the rest."""

    pegs: tuple[int, int]
    rows: tuple[int, int]
    band: tuple[int, int]
    rest: int  # the fewest rows beside the bands and those that a length of their own gives
    free_band: bool  # whether nothing bounds a band from above


def window(ask: Ask, piece: PieceAsk, way: Way, main: Way | None = None) -> Window | None:
    """The window of a piece on a way, `main` being the main piece's way where it is another; None for none at all."""
    i = next(i for i, each in enumerate(ask.pieces) if each is piece)
    return kept(ask, i, way, main or way, "window", lambda: _window(piece, way, lines_on(ask, i, way, main, held=True)))


def _window(piece: PieceAsk, way: Way, lines: Lines) -> Window | None:
    if lines[Over.NONE]:
        return None
    band = between(lines[Over.BAND], 1, NO_BOUND) if piece.band else (0, 0)
    rest, (least, most) = between(lines[Over.REST], 0, NO_BOUND)[0], between(lines[Over.ROWS], 0, rows_most(piece, way))
    least = max(least, rest + piece.bands * band[0] + (sum(rows_reached(piece, way)) if piece.reaches else 0))
    return Window(between(lines[Over.PEGS], 1, FAR_PEGS), (least, most), band, rest, band[1] == NO_BOUND)


def pegs_window(ask: Ask, piece: PieceAsk, way: Way, counts: Sequence[int], main: Way | None = None) -> Sequence[int]:
    """Those of the peg counts that the rules on pegs allow; `main` is the main piece's way where it is another."""
    whole = window(ask, piece, way, main)
    return () if whole is None else counts[bisect_left(counts, whole.pegs[0]) : bisect_right(counts, whole.pegs[1])]


def rows_window(ask: Ask, piece: PieceAsk, way: Way) -> tuple[int, int] | None:
    """Least and most rows in all that the length, the band and the plain part allow; None for none."""
    whole = window(ask, piece, way)
    return whole.rows if whole and whole.rows[0] <= whole.rows[1] else None


def rest_least(ask: Ask, piece: PieceAsk, way: Way) -> int:
    """The fewest rows beside the bands and those that a length of their own gives."""
    whole = window(ask, piece, way)
    return whole.rest if whole else 0


def band_window(ask: Ask, piece: PieceAsk, way: Way, most: int) -> tuple[int, int]:
    """Least and most rows of one band by its depth; `most` where nothing bounds it."""
    whole = window(ask, piece, way)
    if whole is None:
        return 1, 0
    return whole.band[0], most if whole.free_band else whole.band[1]


def between(lines: Iterable[Line], least: int, most: int) -> tuple[int, int]:
    """The least and the most count, from `least` to `most`, at which some lines hold; the least is more for none."""
    for line in lines:
        if line.slope < 0:
            least = max(least, line.least or 0)
        else:
            most = min(most, line.most or 0)
    return least, most

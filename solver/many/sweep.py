"""The best rows of every peg count of a piece that is alone, by a plain sweep of whole numbers.

Why no solver here: with its way and pegs given, a piece alone has some twenty totals of rows to choose from, and for
each of them one best band. Trying them all takes a tenth of what a model of each cell takes; a test compares both.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from solver.model.ask import Ask, PieceAsk, Way
from solver.model.costs import risk_cost
from solver.model.setup import rows_most, rows_reached, yarn_of
from solver.search.windows import band_window, boards_a_side, pegs_in_reach, pegs_window, rest_least, rows_window


@dataclass(frozen=True, slots=True)
class Swept:
    """One peg count, its best rows: all of them, those of one band (0 for none); yarn in µm, score as Option has it."""

    pegs: int
    rows: int
    band: int
    yarn_um: int
    score: int


@dataclass(frozen=True, slots=True)
class _Rows:
    """A total of rows with its best band, and what length and band miss there, in the units of Costs."""

    rows: int
    band: int
    cost: int


def counts_on(ask: Ask, way: Way) -> tuple[int, ...]:
    """The peg counts of the only piece that loom, boards and spacers allow on a way, whatever its gauge."""
    return () if way.spacers > way.loom.spacers_most else pegs_in_reach(ask, 0, way.loom, boards_a_side(ask, way))


def swept(ask: Ask, way: Way, counts: Sequence[int], stock_um: float = inf) -> Iterator[Swept]:
    """Every peg count of the only piece on this way that holds all rules and takes at most `stock_um` of yarn.

    `counts` are those of `counts_on`.
    Of rows that score alike the fewest are taken, then the smallest band. The laws that read the way alone are not
    looked at.
    """
    piece, yarn = ask.pieces[0], yarn_of(ask.pieces[0], way)
    each = list(_rows(ask, piece, way))
    risk, price, girth = risk_cost(ask, (way,)), ask.costs.yarn, ask.costs.girth
    for n in pegs_window(ask, piece, way, counts) if each else ():
        a_row = yarn.per_stitch * n
        best = min((r.cost + price * a_row * r.rows, r.rows, r.band) for r in each)
        if a_row * best[1] + yarn.at_pegs(n) > stock_um:  # the stock is short: the best of what it reaches for
            lasting = (r for r in each if yarn.um(n, r.rows) <= stock_um)
            found = min(((r.cost + price * a_row * r.rows, r.rows, r.band) for r in lasting), default=None)
            if found is None:
                continue
            best = found
        miss = girth * abs(n * way.width_um - piece.girth_um)
        yield Swept(n, best[1], best[2], yarn.um(n, best[1]), miss + best[0] + price * yarn.at_pegs(n) + risk)


def _rows(ask: Ask, piece: PieceAsk, way: Way) -> Iterator[_Rows]:
    """Every total of rows that the ask allows on a way."""
    window = rows_window(ask, piece, way)
    if window is None:
        return
    height, reached, most = way.height_um, sum(rows_reached(piece, way)), rows_most(piece, way)
    plain = rest_least(ask, piece, way)
    least, deepest = band_window(ask, piece, way, most) if piece.band else (0, 0)
    for rows in range(window[0], window[1] + 1):
        miss = ask.costs.length * abs(rows * height - piece.length_um)
        if piece.band is None:
            if plain <= rows - reached <= most:
                yield _Rows(rows, 0, miss)
            continue
        high = min(deepest, (rows - reached - plain) // piece.bands)
        low = max(least, -((most - rows + reached) // piece.bands))
        near = min(max(piece.band.prefer_um // height, low), high)
        if low <= high:
            band = min((near, min(near + 1, high)), key=lambda b: abs(b * height - piece.band.prefer_um))  # type: ignore[union-attr]
            yield _Rows(rows, band, miss + ask.costs.band * abs(band * height - piece.band.prefer_um))

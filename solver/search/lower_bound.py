"""A score that no setup of a way to work can beat, by plain arithmetic: what lets the search leave cells unopened."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence

from solver.model.ask import Ask, PieceAsk, Way
from solver.model.setup import yarn_of
from solver.search.windows import Window, window


def ways_alike(ways: Iterable[Way]) -> list[list[Way]]:
    """The ways together that differ in nothing that a bound or a risk reads: yarns of one class share their guess."""
    alike: dict[object, list[Way]] = {}
    for w in ways:
        gauge = (w.width_um, w.height_um, w.loop_um, w.lofty_um, w.width_ppm, w.height_ppm)
        alike.setdefault((w.loom.name, w.spacers, w.strands, gauge), []).append(w)
    return list(alike.values())


def bound(ask: Ask, ways: Sequence[Way], pegs: Sequence[Sequence[int]]) -> int | None:
    """A score that no setup of these ways beats (risk left out); None where arithmetic shows that there is none.

    `pegs` holds for each piece the peg counts in reach, in order.
    """
    total = 0
    for piece, way, counts in zip(ask.pieces, ways, pegs, strict=True):
        least = piece_bound(ask, piece, way, counts)
        if least is None:
            return None
        total += least
    return total


def piece_bound(ask: Ask, piece: PieceAsk, way: Way, counts: Sequence[int]) -> int | None:
    """Nearest pegs, nearest rows and nearest band by themselves; the yarn by n·r ≥ n·r0 + n0·r − n0·r0."""
    costs, yarn = ask.costs, yarn_of(piece, way)
    open_ = window(ask, piece, way)
    if open_ is None or open_.rows[0] > open_.rows[1]:
        return None
    inside = counts[bisect_left(counts, open_.pegs[0]) : bisect_right(counts, open_.pegs[1])]
    if not inside:
        return None
    first, last = open_.rows
    n0 = inside[0]
    # (n − n0)(r − r0) ≥ 0 in the window, so n·r never lies under this line; at the low corner, where yarn pulls
    per_peg = costs.yarn * (yarn.per_stitch * first + yarn.per_peg)
    per_row = costs.yarn * yarn.per_stitch * n0
    girth = min(
        costs.girth * abs(piece.round_um(n, way.width_um) - piece.girth_um) + per_peg * n
        for n in _corners(inside, piece.girth_um // way.width_um + piece.seam)
    )
    middle = min(max(piece.length_um // way.height_um, first), last)
    if yarn.bends:  # no straight line, so peg by peg
        girth = min(
            costs.girth * abs(piece.round_um(n, way.width_um) - piece.girth_um)
            + costs.yarn * (yarn.per_stitch * first * n + yarn.at_pegs(n) - yarn.fixed)
            for n in inside
        )
    # convex in rows, with one bend: least at an end of the window or beside the wanted length
    length = min(
        costs.length * abs(r * way.height_um - piece.length_um) + per_row * r
        for r in (first, last, middle, min(middle + 1, last))
    )
    band = _band_bound(ask, piece, way, open_)
    return None if band is None else girth + length + band + costs.yarn * yarn.fixed - per_row * first


def _corners(counts: Sequence[int], near: int) -> list[int]:
    """The ends of a sorted run and its members next to `near`: a convex cost is least at one of them."""
    i = bisect_right(counts, near)
    return [counts[0], counts[-1], counts[max(i - 1, 0)], counts[min(i, len(counts) - 1)]]


def _band_bound(ask: Ask, piece: PieceAsk, way: Way, open_: Window) -> int | None:
    if piece.band is None:
        return 0
    least, most = open_.band
    if open_.free_band:  # then only all rows bound it
        most = open_.rows[1]
    if least > most:
        return None
    # convex too: least beside the wanted depth, or at the end of the window nearest to it
    near = min(max(piece.band.prefer_um // way.height_um, least), most)
    return ask.costs.band * min(abs(b * way.height_um - piece.band.prefer_um) for b in (near, min(near + 1, most)))

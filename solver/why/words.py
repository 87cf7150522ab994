"""Why not, in sentences: for each rule of a clash what it needs and what there is, in the unit of the ask."""

from collections.abc import Callable

from solver.why import tellpegs, tellrows, tellways
from solver.why.clash import Reason
from solver.why.lacks import PEGS, Given, Left
from solver.why.tell import Case, Said
from solver.wish import Wish


def said(wish: Wish, reason: Reason) -> Said:
    """The sentence of one rule of a clash."""
    near = reason.nearest
    lefts = [left for left in near.left if _breaks(reason.rule, left, near)] or near.left
    return SAYS[reason.rule](Case(wish, near, lefts[0]))


def _breaks(rule: str, left: Left, near: Given) -> bool:
    """Whether this piece is one that lacks something of the rule."""
    if rule in PEGS:
        return min(PEGS[rule](left, n, near) for n in left.counts) > 0
    piece, span, h = left.room.piece, left.span, left.room.way.height_um
    if rule == "band-depth":
        band = piece.band
        return band is not None and not any(
            band.least_um <= b * h <= band.most_um for b in range(span.low, span.high + 1)
        )
    if rule == "length-within":
        return not any(abs(r * h - piece.length_um) <= piece.length_tol_um for r in range(span.first, span.last + 1))
    return True


def because(says: list[str]) -> str:
    """The sentences of a clash as one: because … and …, so …"""
    return f"Because {', and '.join(says)}, no setup fits."


SAYS: dict[str, Callable[[Case], Said]] = {
    "boards-on-hand": tellpegs.boards,
    "pegs-on-loom": tellpegs.pegs,
    "spacers-on-hand": tellpegs.spacers_short,
    "yarn-suits-pitch": tellways.pitch,
    "not-jammed": tellways.jammed,
    "not-flimsy": tellways.flimsy,
    "whole-repeats": tellpegs.repeats,
    "even-pegs": tellpegs.even,
    "opening-pairs": tellpegs.pairs,
    "room-for-plain": tellrows.plain,
    "gather-bulk": tellpegs.bulk,
    "stretches-over": tellpegs.stretch,
    "gauge-measured": tellways.measured,
    "yarn-on-hand": tellrows.yarn_short,
    "band-depth": tellrows.band_depth,
    "girth-within": tellpegs.girth,
    "length-within": tellrows.length_within,
    "sure-enough": tellpegs.sure,
    **{f"pin-{field}": tellways.pinned(field) for field in ("loom", "yarn", "pegs", "spacers", "strands")},
}

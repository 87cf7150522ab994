"""Why not, in sentences: for each rule of a clash what it needs and what there is, in the unit of the ask."""

from collections.abc import Callable

from solver.asking.wish import Wish
from solver.why.conflict import Reason
from solver.why.slack import breaks
from solver.why.words import pegs, rows, ways
from solver.why.words.phrases import Case, Said


def said(wish: Wish, reason: Reason) -> Said:
    """The sentence of one rule of a clash."""
    near = reason.nearest
    lacking = [remaining for remaining in near.remaining if breaks(reason.rule, remaining, near)] or near.remaining
    return SAYS[reason.rule](Case(wish, near, lacking[0]))


SAYS: dict[str, Callable[[Case], Said]] = {
    "boards-on-hand": pegs.boards,
    "pegs-on-loom": pegs.pegs,
    "spacers-on-hand": pegs.spacers_short,
    "yarn-suits-pitch": ways.pitch,
    "not-jammed": ways.jammed,
    "not-flimsy": ways.flimsy,
    "whole-repeats": pegs.repeats,
    "even-pegs": pegs.even,
    "opening-pairs": pegs.pairs,
    "room-for-plain": rows.room,
    "gather-bulk": pegs.bulk,
    "stretches-over": pegs.stretch,
    "gauge-measured": ways.measured,
    "yarn-on-hand": rows.yarn_short,
    "band-depth": rows.band_depth,
    "girth-within": pegs.girth,
    "length-within": rows.length_within,
    "sure-enough": pegs.sure,
    **{f"pin-{field}": ways.pinned(field) for field in ("loom", "yarn", "pegs", "spacers", "strands")},
}

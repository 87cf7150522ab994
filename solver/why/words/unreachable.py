"""Why not one setup exists even with every rule dropped: no gauge, rows too tall, or parts longer than the whole."""

from collections.abc import Iterable

from solver.asking.wish import Wish
from solver.why.limits import CellLimits
from solver.why.violations import EVERY
from solver.why.words.phrases import length, piece_name, tell_apart


def unreachable(wish: Wish, cells: Iterable[CellLimits]) -> str:
    """The reason without its full stop. Explanations look as far as three times the length that is wanted."""
    each = [
        (limits.way.height_um, i, limits.piece)
        for cell in cells
        for i, limits in enumerate(cell.pieces)
        if limits.span(EVERY) is None
    ]
    if not each:
        return "no yarn of the kit has a gauge, measured or guessed"
    row, i, piece = min(each, key=lambda e: e[:2])
    name, want = piece_name(wish, i, piece), piece.length_um
    parts = sum(s.reach_um or 0 for s in piece.sections)
    if parts > want:
        turned = wish.long_um - want if i == 0 and wish.long_um else 0  # of a sock with short rows its toe's share
        parts, want = parts + turned, want + turned
        takes = f"the parts of the {name} whose length follows from the girth take {length(parts, wish.unit, want)}"
        return f"{takes} where you want {length(want, wish.unit, parts)} in all"
    tall, asked, _ = tell_apart((row, want, 0), wish.unit)
    return f"a single row is {tall} where you want {asked} of {name} in all"

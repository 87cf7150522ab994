"""The cells of an ask whose lesser pieces may be in the round or flat: where no loom holds them in the round, both.

What stands in the way of a thumb in the round is no reason where it can be worked flat and sewn up; and of a clash
either may tell, and either be repaired.
"""

from dataclasses import replace

from solver.model.ask import Ask
from solver.search.lesser_pieces import flat_instead
from solver.why.limits import CellLimits, cell_limits


def cells_either_way(ask: Ask) -> list[CellLimits]:
    """Every cell of an ask, and of a way on which a lesser piece has no place in the round its cell with it flat too.

    Those that break least come first, then by name, in the round before flat.
    """
    cells, flat = cell_limits(ask), _flat(ask)
    if flat is None:
        return cells
    return sorted([*cells, *cell_limits(flat)], key=lambda c: (c.mask.bit_count(), c.way.key))


def settable(ask: Ask) -> Ask:
    """The ask without spacer settings beyond what a bolt takes, but for the one that is named."""
    ways = tuple(w for w in ask.ways if w.spacers <= w.loom.spacers_most or w.spacers == ask.pins.spacers)
    return ask if len(ways) == len(ask.ways) else replace(ask, ways=ways)


def _flat(ask: Ask) -> Ask | None:
    """The ask of the ways with a lesser piece flat; a setting that no bolt takes makes no place for it elsewhere."""
    flat, near = flat_instead(ask), settable(ask)
    if near is ask:
        return flat
    own, keys = flat_instead(near), {w.key for w in near.ways}
    far = () if flat is None else tuple(w for w in flat.ways if w.key not in keys)
    found = own or flat
    return None if found is None else replace(found, ways=(*(own.ways if own else ()), *far))

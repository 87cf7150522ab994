"""The girths in reach of each loom, worked out in this one place: for `check`, for the page and for its plot."""

from collections.abc import Iterable
from typing import NamedTuple

from catalog.kit import Kit
from solver.asking.wish import Wish
from solver.model.ask import Ask
from solver.why import nearest_girth
from solver.why.either_way import settable
from solver.why.limits import CellLimits
from solver.why.relaxing import all_given
from solver.why.violations import bits

FREE = bits("girth-within")
ANY_LOOM = bits("girth-within", "pin-loom")


class Girths(NamedTuple):
    """Girths of the main piece in order, µm: those of a measured gauge, and those of a reckoned one."""

    measured: tuple[int, ...] = ()
    reckoned: tuple[int, ...] = ()

    @property
    def every(self) -> tuple[int, ...]:
        """All of them, each once, in order."""
        return tuple(sorted({*self.measured, *self.reckoned}))


def girths_in_reach(cells: Iterable[CellLimits], free: int = FREE) -> dict[str, Girths]:
    """For every loom that has ways to work, by name: what it can make with everything but the girth as asked.

    `free`: the rules that do not hold; with pin-loom among them a loom is drawn that was not the one asked for.
    """
    found: dict[str, tuple[set[int], set[int]]] = {}
    for cell in cells:
        measured, reckoned = found.setdefault(cell.way.loom.name, (set(), set()))
        (measured if cell.way.basis == "measured" else reckoned).update(_girths(cell, free))
    return {loom: Girths(tuple(sorted(m)), tuple(sorted(r))) for loom, (m, r) in sorted(found.items())}


def beyond(kit: Kit, wish: Wish, ask: Ask, cells: Iterable[CellLimits], loom: str) -> tuple[int, ...]:
    """The nearest girths, smaller and larger, that one loom makes once what follows from a girth is worked out, µm.

    For a loom on which nothing holds at any girth as all else was asked: a longer hat needs more pegs, and so on.
    """
    near = settable(ask)
    keys = {w.key for w in near.ways if w.loom.name == loom}
    own = [c for c in cells if c.way.key in keys and not c.sewn_up]
    girths = nearest_girth.Girths(kit, wish, near, own)
    return tuple(g for larger in (False, True) if (g := girths.nearest(larger)) is not None)


def _girths(cell: CellLimits, free: int) -> set[int]:
    """The girths of one way: pegs that break nothing else, and that leave yarn for the fewest rows."""
    return {n * cell.way.width_um for given in all_given(cell, free, ()) for n in given.remaining[0].counts}

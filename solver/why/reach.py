"""The girths in reach of each loom, worked out in this one place: for `check`, for the page and for its plot."""

from collections.abc import Iterable
from typing import NamedTuple

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


def _girths(cell: CellLimits, free: int) -> set[int]:
    """The girths of one way: pegs that break nothing else, and that leave yarn for the fewest rows."""
    return {n * cell.way.width_um for given in all_given(cell, free, ()) for n in given.remaining[0].counts}

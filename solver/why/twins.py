"""Cells that differ in nothing but their yarn's name and how much of it there is: one speaks for the others.

A cell of more yarn can do all that its twin of less can, so only one with more than those before it has more to say.
"""

from collections.abc import Iterable, Iterator
from math import inf

from solver.why.limits import CellLimits


def nature(cell: CellLimits) -> tuple[object, ...]:
    """All of a cell but its yarn's name and stock; of several pieces, which may go elsewhere, the yarn itself."""
    way = cell.way
    return (
        way.loom.name, way.spacers, way.strands, way.width_um, way.height_um, way.loop_um, way.width_ppm, way.lofty_um,
        cell.mask, cell.sewn_up, way.yarn if len(cell.ask.pieces) > 1 else "",
    )  # fmt: skip


def stock(cell: CellLimits) -> float:
    """Yarn on hand, µm."""
    return inf if cell.way.on_hand_um is None else cell.way.on_hand_um


def twins(cells: Iterable[CellLimits]) -> list[list[CellLimits]]:
    """The cells, twins together, the one with the most yarn leading, the first of equals."""
    found: dict[tuple[object, ...], list[CellLimits]] = {}
    for cell in cells:
        found.setdefault(nature(cell), []).append(cell)
    return [sorted(each, key=stock, reverse=True) for each in found.values()]


def telling_more(cells: Iterable[CellLimits]) -> Iterator[CellLimits]:
    """The cells, in order, that have more yarn than every twin before them."""
    most: dict[tuple[object, ...], float] = {}
    for cell in cells:
        key = nature(cell)
        if stock(cell) > most.get(key, -1):
            most[key] = stock(cell)
            yield cell


def leaders(cells: Iterable[CellLimits]) -> list[CellLimits]:
    """Of all twins the one with the most yarn, the first of equals."""
    return [each[0] for each in twins(cells)]

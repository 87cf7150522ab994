"""The sections of a finished piece as they are worked: rows, pegs, stitches, loops laid before the first row."""

from dataclasses import dataclass

from solver.model.ask import SectionAsk
from solver.model.setup import Finished, short_rows


@dataclass(frozen=True, slots=True)
class Worked:
    """One section of one copy. `rows` and `stitches` of short rows are theirs alone; an opening has pegs only."""

    ask: SectionAsk
    rows: int
    pegs: int
    stitches: int
    set_up_loops: int


def worked(setup: Finished, i: int) -> tuple[Worked, ...]:
    """The sections of the piece at place `i` of a finished setup, in the order they are worked."""
    piece = setup.pieces[i]
    return tuple(_worked(setup, s, piece.pegs, r) for s, r in zip(piece.ask.sections, piece.rows, strict=True))


def _worked(setup: Finished, section: SectionAsk, pegs: int, rows: int) -> Worked:
    half = pegs // 2
    loops = section.set_up_rows * pegs + (half if section.half_set_up else 0)
    if section.short:
        short, stitches = short_rows(pegs)
        return Worked(section, short, half, stitches, loops)
    if section.opens is not None:
        return Worked(section, 0, setup.pieces[section.opens].pegs // 2, 0, 0)
    return Worked(section, rows, pegs, rows * pegs, loops)

"""Short of sureness: the surest that is in reach, and the swatches that would make a setting as sure as is asked."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import floor, sqrt
from typing import NamedTuple

from catalog.kit import Kit, Swatch
from catalog.units import half_up
from solver.gauging.chance import chance_within
from solver.gauging.observation import count_noise, sds
from solver.model.ask import Ask, Way
from solver.model.setup import Finished
from solver.why.limits import CellLimits
from solver.why.relaxing import all_given
from solver.why.slack import Relaxed
from solver.why.twins import leaders
from solver.why.violations import bits

SURE = bits("sure-enough")
FOUR_IN_UM = 101_600
MOST_SWATCHES = 4
MOST_TRIED = 4  # settings tried with real swatches, those that promise most first


class Likely(NamedTuple):
    """The chance, 0–1, that so many pegs of a cell come out within the limit."""

    chance: float
    pegs: int
    cell: CellLimits


class Promise(NamedTuple):
    """So many more swatches of a way, and the chance that they promise if each counts what is expected."""

    swatches: int
    unlikely: float
    way: Way


@dataclass(frozen=True, slots=True)
class Spread:
    """A stitch width in µm and the sd of its ln, ppm."""

    width_um: int
    width_ppm: int


def chance_of(setup: Finished) -> float:
    """The chance that the main piece of a setup is within its limit."""
    main = setup.pieces[0]
    return chance_within(setup.way, main.pegs, main.ask.girth_um, main.ask.girth_tol_um)


def surest(cells: Iterable[CellLimits]) -> Relaxed | None:
    """The likeliest setup in reach, all else as asked: its cell, with that count of pegs only; None where none is."""
    known: dict[object, list[Relaxed]] = {}
    for each in sorted(_likely(leaders(c for c in cells if c.mask & ~SURE == 0)), key=_first):
        tried = id(each.cell)
        if tried not in known:
            known[tried] = list(all_given(each.cell, SURE, ()))
        for found in known[tried]:
            if each.pegs in found.remaining[0].counts:
                found.remaining[0].counts = [each.pegs]
                return found
    return None


def surest_ppm(cells: Iterable[CellLimits]) -> int | None:
    """The most chance that some setup gives, all else as asked, rounded down as it is typed, ppm; None for none."""
    found = surest(cells)
    return None if found is None else round_down(chance_of_pegs(found.cell, found.remaining[0].counts[0]))


def chance_of_pegs(cell: CellLimits, pegs: int) -> float:
    """The chance, 0–1, that so many pegs of a cell come out within the limit."""
    main = cell.ask.pieces[0]
    return chance_within(cell.way, pegs, main.girth_um, main.girth_tol_um)


def round_down(chance: float) -> int | None:
    """A chance as it is typed, ppm: whole per cent, or tenths under 1; None for less than that."""
    step = 10_000 if chance >= 0.01 else 1_000
    return floor(chance * 1_000_000 / step) * step or None


def _likely(cells: Iterable[CellLimits]) -> Iterator[Likely]:
    for cell in cells:
        for n in cell.pieces[0].counts(SURE):
            yield Likely(chance_of_pegs(cell, n), n, cell)


def _first(each: Likely) -> tuple[object, ...]:
    return -each.chance, each.cell.way.key, each.pegs


def promising(kit: Kit, ask: Ask, cells: Sequence[CellLimits]) -> list[Promise]:
    """The settings that a few more swatches would make as sure as is asked, the fewest swatches first."""
    sd, main, found = sds(kit), ask.pieces[0], []
    for cell in cells:
        counts = () if cell.mask else cell.pieces[0].counts(SURE)
        own = max(0.0, (cell.way.width_ppm / 1e6) ** 2 - sd.piece**2)
        noise = count_noise(stitches_of(cell.way), sd) ** 2 + sd.piece**2
        for k in range(1, MOST_SWATCHES + 1) if counts and own else ():
            remaining = Spread(cell.way.width_um, half_up(1e6 * sqrt(1 / (1 / own + k / noise) + sd.piece**2)))
            chance = max(chance_within(remaining, n, main.girth_um, main.girth_tol_um) for n in counts)
            if chance * 1_000_000 >= (ask.sure_ppm or 0):
                found.append(Promise(k, -chance, cell.way))
                break
    return sorted(found, key=lambda each: (each.swatches, each.unlikely, each.way.key))[:MOST_TRIED]


def stitches_of(way: Way) -> int:
    """As many whole stitches as lie in 4 in."""
    return max(1, half_up(FOUR_IN_UM / way.width_um))


def with_swatches(kit: Kit, way: Way, stitch: str, many: int) -> Kit:
    """The kit with so many more swatches of a setting, each counted just as is expected of it."""
    n = stitches_of(way)
    count = {
        name: {"count": n, "over": f"{n * um / 1000} mm"}
        for name, um in (("stitches", way.width_um), ("rows", way.height_um))
    }
    setting = {"loom": way.loom.name, "spacers": way.spacers, "yarn": way.yarn, "strands": way.strands}
    each = Swatch.model_validate({**setting, "stitch": stitch, **count})
    return kit.model_copy(update={"swatch": (*kit.swatch, *(each for _ in range(many)))})

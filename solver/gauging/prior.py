"""The starting guess before any swatch: loop length from the loom's geometry, then stitch width and row height."""

from fractions import Fraction
from functools import lru_cache
from math import floor, pi, sqrt
from typing import NamedTuple

from catalog.figure import figure, mm_um
from catalog.kit import Frame, Kit, Loom, Slider
from catalog.yarn import lofty_um


class Setting(NamedTuple):
    """One way of knitting plain fabric: what a gauge belongs to. `loom` and `yarn` are names in the kit."""

    loom: str
    spacers: int
    yarn: str
    strands: int
    stitch: str


def whole(x: float) -> int:
    """The nearest whole number, halves upwards: `catalog.units.half_up` without its Fractions, for many floats."""
    low = floor(x)
    return low + (x - low >= 0.5)


def gap_um(loom: Loom, spacers: int) -> int | None:
    """The slot between the two rows of pegs with `spacers` at every bolt; None where no row faces another."""
    if isinstance(loom, Frame):
        return loom.base_gap_um + (spacers * loom.spacers.thickness_um if loom.spacers else 0)
    return loom.base_gap_um if isinstance(loom, Slider) else None


def fitted(loom: Loom, spacers: int) -> bool:
    """Whether the guess was fitted there: pitch 6–13 mm and, with a facing row, gap 2–10 mm (own)."""
    pitch_least, pitch_most, gap_least, gap_most = _range_um()
    gap = gap_um(loom, spacers)
    return pitch_least <= loom.pitch_um <= pitch_most and (gap is None or gap_least <= gap <= gap_most)


@lru_cache(maxsize=1)
def _range_um() -> tuple[int, ...]:
    names = ("guess_pitch_least_mm", "guess_pitch_most_mm", "guess_gap_least_mm", "guess_gap_most_mm")
    return tuple(mm_um(name) for name in names)


def reach_um(loom: Loom, spacers: int) -> float:
    """Yarn from peg to peg in one stitch: across the gap and back, or along the pitch without a facing row."""
    gap = gap_um(loom, spacers)
    return float(loom.pitch_um) if gap is None else 2 * sqrt(gap**2 + (loom.pitch_um / 2) ** 2)


@lru_cache(maxsize=4)
def wrap(stitch: str) -> float:
    """Share of a peg's circumference that a stitch goes round (own)."""
    return float(figure({"u-wrap": "wrap_u", "e-wrap": "wrap_e"}[stitch]))


@lru_cache(maxsize=4)
def lying(stitch: str) -> Fraction:
    """Share of a loop that adds width and height: the crossed legs of an e-wrap add neither (own)."""
    return 1 - figure("crossing_e") if stitch == "e-wrap" else Fraction(1)


def relaxed_um(loop_um: float, kw: float, kc: float) -> tuple[float, float]:
    """Stitch width and row height of relaxed plain fabric: wales per length are Kw/l, courses Kc/l."""
    return loop_um / kw, loop_um / kc


class Prior:
    """Starting guesses for the settings of one kit; what looms and yarns give is worked out once each."""

    def __init__(self, kit: Kit) -> None:
        self.looms: dict[str, Loom] = {loom.name: loom for loom in kit.loom}
        self._yarns = {yarn.name: yarn for yarn in kit.yarn}
        self._reach: dict[tuple[str, int], float] = {}
        self._lofty: dict[tuple[str, int], int | None] = {}
        self._kw, self._kc = float(figure("kw_dry")), float(figure("kc_dry"))

    def loop_um(self, setting: Setting) -> float | None:
        """Loop length in µm (own, ± about 12 %); None for a yarn without wraps per inch. KeyError: not in the kit."""
        loom, spacers, yarn, strands, stitch = setting
        strand = (yarn, strands)
        if strand not in self._lofty:
            self._lofty[strand] = lofty_um(self._yarns[yarn], strands)
        lofty = self._lofty[strand]
        if lofty is None:
            return None
        place = (loom, spacers)
        if place not in self._reach:
            self._reach[place] = reach_um(self.looms[loom], spacers)
        return self._reach[place] + wrap(stitch) * pi * (self.looms[loom].peg_diameter_um + lofty)

    def stitch_um(self, setting: Setting) -> tuple[float, float] | None:
        """Width l/Kw, height l/Kc in µm, of what lies of l (Munden's dry-relaxed constants, from memory), or None."""
        loop = self.loop_um(setting)
        return None if loop is None else relaxed_um(loop * float(lying(setting.stitch)), self._kw, self._kc)

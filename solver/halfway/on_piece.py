"""What is counted on a piece half-way: its own gauge. The count rules; what the plan foretold only doubts it."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import exp, hypot, sqrt
from typing import NamedTuple

from catalog.kit import Counted, Kit
from catalog.units import half_up
from solver.gauging.loop_length import formula_loop_um
from solver.gauging.observation import Sds, count_noise, ln_ratio, pool, sds, spread
from solver.gauging.prior import whole
from solver.gauging.scatter import birge
from solver.plan.saved import GaugePlan


class OnPiece(NamedTuple):
    """The piece's own gauge: µm as counted and as whole µm, spreads (sds of ln, the counting's alone) in ppm."""

    counted_width_um: float
    counted_height_um: float
    width_um: int
    height_um: int
    width_ppm: int
    height_ppm: int
    loop_um: int


class FarOff(NamedTuple):
    """A count further from the plan than honest counts are: what, how many over which length, how many foretold."""

    what: str
    counted: float
    over_um: int
    foretold: float
    deviations: float


def on_piece(planned: GaugePlan, stitches: Sequence[Counted], rows: Sequence[Counted], sd: Sds) -> OnPiece:
    """The gauge of the piece that was counted on, once or at several places.

    It is this very piece that was counted, so nothing but the counting is unsure; the plan was a guess of it and has no
    say any more. A stitch takes as much more yarn than planned as the formula says of the two gauges, so that what was
    weighed on a swatch is kept.
    """
    width, width_ppm = _pooled(stitches, sd)
    height, height_ppm = _pooled(rows, sd)
    w, h = max(1, whole(width)), max(1, whole(height))
    more = Fraction(formula_loop_um(w, h), formula_loop_um(planned.width_um, planned.height_um))
    return OnPiece(width, height, w, h, width_ppm, height_ppm, max(1, half_up(planned.loop_um * more)))


def as_planned(planned: GaugePlan, told: OnPiece, doubted: frozenset[str]) -> OnPiece:
    """The piece's gauge if what is doubted was miscounted: there the plan's, with the plan's spread."""
    wide, high = "stitches" in doubted, "rows" in doubted
    width, width_ppm = (planned.width_um, planned.width_ppm) if wide else (told.width_um, told.width_ppm)
    height, height_ppm = (planned.height_um, planned.height_ppm) if high else (told.height_um, told.height_ppm)
    more = Fraction(formula_loop_um(width, height), formula_loop_um(planned.width_um, planned.height_um))
    loop = max(1, half_up(planned.loop_um * more))
    return OnPiece(float(width), float(height), width, height, width_ppm, height_ppm, loop)


def far_off(
    planned: GaugePlan, told: OnPiece, stitches: Sequence[Counted], rows: Sequence[Counted], kit: Kit
) -> Iterator[FarOff]:
    """Each count beyond the kit's outlier_sds of what was foretold: the plan's spread and the counting's together."""
    sd, limit = sds(kit), spread(kit, "outlier_sds")
    for what, um, ppm, each_um, counted in (
        ("stitches", planned.width_um, planned.width_ppm, told.counted_width_um, stitches),
        ("rows", planned.height_um, planned.height_ppm, told.counted_height_um, rows),
    ):
        usual = hypot(ppm / 1e6, sqrt(_pool(counted, sd)[1]))
        off = abs(ln_ratio(Fraction(um), each_um)) / usual
        if off > limit:
            over = counted[0].over_um
            yield FarOff(what, over / each_um, over, over / um, off)


def _pool(counted: Sequence[Counted], sd: Sds) -> tuple[float, float]:
    """ln of the mean over the first count's, and its variance, each count weighed by its noise."""
    first = float(counted[0].each_um)
    return pool((ln_ratio(c.each_um, first), count_noise(float(c.count), sd)) for c in counted)


def _pooled(counted: Sequence[Counted], sd: Sds) -> tuple[float, int]:
    """µm and spread of what was counted; counts that contradict each other widen it."""
    ln, variance = _pool(counted, sd)
    first = float(counted[0].each_um)
    wider = birge([(ln_ratio(c.each_um, first), count_noise(float(c.count), sd)) for c in counted])
    return first * exp(ln), whole(1e6 * wider * sqrt(variance))

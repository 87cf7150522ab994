"""What is counted on a piece half-way: its own gauge, from the count and from what was foretold of it."""

from collections.abc import Iterator
from fractions import Fraction
from math import exp, hypot, sqrt
from typing import NamedTuple

from catalog.kit import Counted, Kit
from catalog.units import half_up
from solver.gauging.loop_length import formula_loop_um
from solver.gauging.observation import SUREST, Sds, count_noise, ln_ratio, pool, sds, spread
from solver.gauging.prior import whole
from solver.plan.saved import GaugePlan


class OnPiece(NamedTuple):
    """The piece's own gauge: µm as counted, µm as most likely with the plan's gauge weighed in, sds of ln in ppm."""

    counted_width_um: Fraction
    counted_height_um: Fraction
    width_um: int
    height_um: int
    width_ppm: int
    height_ppm: int
    loop_um: int


def on_piece(planned: GaugePlan, stitches: Counted, rows: Counted, sd: Sds) -> OnPiece:
    """The gauge of the piece that was counted on.

    It is this piece that was counted, so nothing but the count itself is unsure; what the plan foretold of it, with
    its spread, is one more witness. A stitch takes as much more yarn than planned as the formula says of the two
    gauges, so that what was weighed on a swatch is kept.
    """
    width, width_ppm = _told(planned.width_um, planned.width_ppm, stitches, sd)
    height, height_ppm = _told(planned.height_um, planned.height_ppm, rows, sd)
    more = Fraction(formula_loop_um(width, height), formula_loop_um(planned.width_um, planned.height_um))
    loop = max(1, half_up(planned.loop_um * more))
    return OnPiece(stitches.each_um, rows.each_um, width, height, width_ppm, height_ppm, loop)


def doubts(planned: GaugePlan, stitches: Counted, rows: Counted, kit: Kit) -> Iterator[str]:
    """A note for each count further from what was foretold than honest counts are (the kit's outlier_sds)."""
    for what, um, ppm, counted in (
        ("stitches", planned.width_um, planned.width_ppm, stitches),
        ("rows", planned.height_um, planned.height_ppm, rows),
    ):
        usual = hypot(ppm / 1e6, count_noise(float(counted.count), sds(kit)))
        if abs(ln_ratio(counted.each_um, um)) > spread(kit, "outlier_sds") * usual:
            expected = float(counted.over_um / Fraction(um))
            yield (
                f"{float(counted.count):g} {what} are far from the {expected:.1f} that were foretold: recount, on flat "
                "plain fabric that hangs loose, before anything else"
            )


def _told(planned_um: int, planned_ppm: int, counted: Counted, sd: Sds) -> tuple[int, int]:
    """µm and spread of what was foretold and what was counted, by inverse variance of their logarithms."""
    foretold = (0.0, max(planned_ppm / 1e6, SUREST))
    ln, variance = pool([foretold, (ln_ratio(counted.each_um, planned_um), count_noise(float(counted.count), sd))])
    return max(1, whole(planned_um * exp(ln))), whole(1e6 * sqrt(variance))

"""Yarn in one stitch: by Munden's formula from the gauge, or by what was weighed and unravelled."""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from math import exp, isqrt, log, sqrt

from catalog.figure import figure
from catalog.kit import Kit
from solver.gauging.observation import Foretold, Observation, Sds, pool, spread
from solver.gauging.prior import lying, whole


def loop_sds(kit: Kit) -> Sds:
    """How the ratio of measured loop to formula loop is shared (own): "knitter" is what every peg loom shares."""
    every, loom, yarn, stitch, own = (spread(kit, f"loop_{n}") for n in ("all", "loom", "yarn", "stitch", "setting"))
    return Sds(every, loom, yarn, stitch, own, own)


def loop_ratio(seen: Observation) -> float | None:
    """ln(measured loop / the formula's loop at that swatch's own counts); None where it was not weighed."""
    if seen.loop_um is None:
        return None
    return log(float(seen.loop_um) / sqrt(float(_ks(seen.setting.stitch) * seen.width_um * seen.height_um)))


@lru_cache(maxsize=4)
def _ks(stitch: str) -> Fraction:
    """Loop² over width × height: Munden's Kw · Kc of what lies of the loop."""
    return figure("kw_dry") * figure("kc_dry") / lying(stitch) ** 2


def formula_loop_um(width_um: int, height_um: int, stitch: str = "u-wrap") -> int:
    """Yarn in one stitch, √(Ks · width · height), rounded half up in whole numbers alone; Ks = 3.8 × 5.0 (Munden).

    An e-wrap's is that over 0.85, for the crossing of its legs takes yarn and adds neither width nor height (own).
    """
    ks = _ks(stitch)
    return (isqrt(4 * ks.numerator * width_um * height_um // ks.denominator) + 1) // 2


def loop_um(width_um: int, height_um: int, stitch: str, own: Sequence[Observation], ratio: Foretold) -> int:
    """Weighed at this setting: that, pooled by its noise. Else the formula's, stretched by what other swatches weighed.

    The scale's step over the mass is known, so a plain mean would let a light swatch speak as loud as a heavy one.
    """
    weighed = [(log(float(s.loop_um)), s.loop_noise) for s in own if s.loop_um is not None]
    if weighed:
        return max(1, whole(exp(pool(weighed)[0])))
    if not ratio.taught:
        return formula_loop_um(width_um, height_um, stitch)
    return whole(sqrt(float(_ks(stitch)) * width_um * height_um) * exp(ratio.mean))

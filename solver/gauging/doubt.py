"""Swatches that stand far from what the others foretell: named, so that a miscount is not silently averaged in."""

from collections.abc import Sequence
from math import exp
from typing import NamedTuple

from catalog.kit import Kit
from solver.gauging.loop_length import loop_ratio, loop_sds
from solver.gauging.observation import Observation, Sds, ln_ratio, sds, spread, swatches
from solver.gauging.posterior import Posterior
from solver.gauging.prior import Prior, Setting, whole


class Outlier(NamedTuple):
    """One doubtful figure of one swatch: `place` in kit.swatch (from 0), what was measured, how far out, in words."""

    place: int
    what: str
    percent: int
    says: str


class _Told(NamedTuple):
    seen: Observation
    ln: float
    noise: float


def outliers(kit: Kit) -> list[Outlier]:
    """Every doubtful stitch count, row count and weighing, by their place in the kit.

    Doubtful is more than `outlier_sds` from what the model foretells of it from all the others (from the starting
    guess, where it is the only one). The furthest is named and set aside before the next is looked for, or one
    miscount would cast doubt on all its neighbours. A swatch is a piece of its own, so the share that every piece
    keeps to itself is allowed it. Nothing is taken out of the gauge: that is the knitter's choice.
    """
    guess, sd = Prior(kit), sds(kit)
    guessed = [(s, um) for s in swatches(kit, sd) if (um := guess.stitch_um(s.setting)) is not None]
    wide = [_Told(s, ln_ratio(s.width_um, um[0]), s.width_noise) for s, um in guessed]
    high = [_Told(s, ln_ratio(s.height_um, um[1]), s.height_noise) for s, um in guessed]
    loops = [_Told(s, ln, s.ratio_noise) for s, _ in guessed if (ln := loop_ratio(s)) is not None]
    found = [
        *_furthest(kit, sd, wide, "stitches"),
        *_furthest(kit, sd, high, "rows"),
        *_furthest(kit, loop_sds(kit), loops, "yarn"),
    ]
    return sorted(found)


def _furthest(kit: Kit, sd: Sds, told: Sequence[_Told], what: str) -> list[Outlier]:
    """The doubtful ones of one quantity, furthest first."""
    found, left = list[Outlier](), list(told)
    while left:
        rows: list[tuple[Setting, float, float]] = [(t.seen.setting, t.ln, t.noise**2) for t in left]
        away = Posterior(kit, sd, rows).left_out()
        worst = max(range(len(left)), key=lambda i: abs(away[i][0]) / away[i][1])
        out, usual = away[worst]
        if abs(out) <= spread(kit, "outlier_sds") * usual:
            break
        found.append(_outlier(kit, left.pop(worst).seen.place, what, out, bool(left)))
    return found


def _outlier(kit: Kit, place: int, what: str, out: float, others: bool) -> Outlier:
    percent = whole(abs(exp(out) - 1) * 100)
    against = "your others" if others else "the formula" if what == "yarn" else "the starting guess"
    if what == "yarn":
        advice = f"weigh again? (yarn in a stitch: expected {exp(-out):.2f} times as much)"
    else:
        counted = getattr(kit.swatch[place], what).count
        advice = f"recount? ({what}: counted {float(counted):g}, expected about {float(counted) * exp(out):.1f})"
    return Outlier(place, what, percent, f"this swatch is {percent} % from {against}: {advice}")

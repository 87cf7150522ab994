"""Which single swatch to knit next: the one that leaves the girths of the best options least unsure. Exact."""

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import NamedTuple

from catalog.kit import Kit
from solver.gauge import Learned, by_setting, learned
from solver.guess import Guess, Setting, whole
from solver.seen import Sds, count_noise, sds, swatches

FOUR_IN_UM = 101_600


class Next(NamedTuple):
    """A swatch worth knitting: mean girth spread of the targets (sd of ln for a new piece, ppm) after and before it."""

    after_ppm: int
    before_ppm: int
    setting: Setting


def best_next(
    kit: Kit, candidates: Sequence[Setting], targets: Sequence[Setting], weights: Sequence[float] = ()
) -> list[Next]:
    """Every candidate, the most telling first; equal to the ppm, by setting. Empty without targets or candidates.

    `targets` are the settings of the options wanted most, `weights` how much each counts (default: all the same).
    How sure one will be does not depend on what the swatch will show, only on the stitches counted: as many as the
    guess puts into 4 in. Settings whose yarn has no wraps per inch teach no other and are left out.
    """
    guess, sd = Guess(kit), sds(kit)
    wide = learned(kit, guess, sd, by_setting(swatches(kit, sd)))[0]
    share = dict[Setting, float]()
    for target, weight in zip(targets, weights or [1.0] * len(targets), strict=True):
        if guess.stitch_um(target) is not None:
            share[target] = share.get(target, 0.0) + weight
    widths = {option: um[0] for option in sorted(set(candidates)) if (um := guess.stitch_um(option)) is not None}
    wanted = sorted(share)
    if not widths or sum(share.values()) <= 0:
        return []
    shares = [share[t] for t in wanted]
    before = _spread([t.variance for t in wide.at(wanted)], shares, sd)
    left = zip(widths, _variances_after(wide, sd, widths, wanted), strict=True)
    return sorted(Next(_spread(variances, shares, sd), before, option) for option, variances in left)


def _variances_after(
    wide: Learned, sd: Sds, widths: Mapping[Setting, float], wanted: Sequence[Setting]
) -> list[list[float]]:
    """For each setting of `widths` (its guessed stitch width, µm), the variances left at the wanted ones after it."""
    options, now = list(widths), [t.variance for t in wide.at(wanted)]
    after = []
    for option, told, row in zip(options, wide.at(options), wide.covariance(options, wanted), strict=True):
        noise = count_noise(max(1, whole(FOUR_IN_UM / widths[option])), sd)
        after.append([max(v - c * c / (told.variance + noise**2), 0.0) for v, c in zip(now, row, strict=True)])
    return after


def _spread(variances: Sequence[float], share: Sequence[float], sd: Sds) -> int:
    """Weighted mean sd of a new piece, ppm."""
    total = sum(sqrt(v + sd.piece**2) * w for v, w in zip(variances, share, strict=True))
    return whole(1e6 * total / sum(share))

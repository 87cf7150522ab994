"""Gauge: swatches in, stitch width, row height and yarn per stitch out, each setting with its basis and spread.

ln(true / guess) of width, and of height, is a sum of effects with mean 0: the knitter (shared by all), the loom, the
yarn with its strands, the stitch, the setting. A swatch sees that sum plus counting noise and what any piece keeps to
itself. All is Gaussian, so the posterior is closed: one small Cholesky over the swatched settings, then every other
setting at once. Swatches of one setting that scatter beyond their noise widen that setting's spread, no other's.
"""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import exp, sqrt
from typing import TYPE_CHECKING, Any

from catalog.kit import Kit
from solver.gauging.loop_length import loop_ratio, loop_sds, loop_um
from solver.gauging.observation import Foretold, Observation, Sds, ln_ratio, pool, sds, swatches
from solver.gauging.prior import Prior, Setting, fitted, whole
from solver.gauging.scatter import birge

if TYPE_CHECKING:
    import numpy as np

SHARED: tuple[tuple[str, Callable[[Setting], Hashable]], ...] = (
    ("loom", lambda s: s.loom),
    ("yarn", lambda s: (s.yarn, s.strands)),
    ("stitch", lambda s: s.stitch),
)


@dataclass(frozen=True, slots=True)
class Gauge:
    """Gauge of one setting: µm of relaxed fabric, yarn in one stitch, spreads (sd of ln for a new piece) in ppm.

    `basis`: "measured" by a swatch of this very setting, "blended" from others, "estimate" where none teaches it.
    """

    width_um: int
    height_um: int
    loop_um: int
    width_ppm: int
    height_ppm: int
    basis: str
    swatched: bool


class Posterior:
    """The posterior of one quantity: what some swatches (setting, ln ratio, variance) teach about any setting."""

    def __init__(self, kit: Kit, sd: Sds, seen: Sequence[tuple[Setting, float, float]]) -> None:
        """`seen` in a settled order; settings may repeat. numpy is imported only where something was seen."""
        self._looms = {loom.name: loom for loom in kit.loom}
        self._sd, self._own = sd, dict[tuple[str, int], float]()
        self._common = sd.knitter**2 + sd.loom**2 + sd.yarn**2 + sd.stitch**2
        self._settings, self._ln = [s for s, _, _ in seen], [ln for _, ln, _ in seen]
        self._noise = [variance for _, _, variance in seen]
        if not seen:
            return
        import numpy as np

        self._matrix = self._shared(self._settings, self._settings) + np.diag(self._noise)
        self._lower = np.linalg.cholesky(self._matrix)
        self._white = [float(row[0]) for row in self._whitened(np.array(self._ln)[:, None])]

    def at(self, settings: Sequence[Setting]) -> list[Foretold]:
        """The posterior of each setting."""
        places = [s[:2] for s in settings]  # the loom and its spacers decide the prior
        prior = {place: self._common + self._own_variance(place) for place in set(places)}
        if not self._settings or not settings:
            untold = {place: Foretold(0.0, variance, False) for place, variance in prior.items()}
            return [untold[place] for place in places]
        import numpy as np

        mean, gone = np.zeros(len(settings)), np.zeros(len(settings))
        for row, white in zip(self._whitened(self._shared(self._settings, settings)), self._white, strict=True):
            mean += row * white
            gone += row * row
        told = zip(mean.tolist(), places, gone.tolist(), strict=True)
        return [Foretold(m, max(prior[place] - g, 0.0), g > 0) for m, place, g in told]

    def covariance(self, a: Sequence[Setting], b: Sequence[Setting]) -> list[list[float]]:
        """Posterior covariance of each of `a` with each of `b`, as len(a) rows."""
        both = self._shared(a, b)
        if self._settings:
            ours, theirs = (self._whitened(self._shared(self._settings, s)) for s in (a, b))
            for row, other in zip(ours, theirs, strict=True):
                both = both - row[:, None] * other[None, :]
        rows: list[list[float]] = both.tolist()
        return rows

    def left_out(self) -> list[tuple[float, float]]:
        """For each thing seen: how far it stands from what the others foretell, and the sd of that (both of ln)."""
        import numpy as np

        inverse = np.linalg.inv(self._matrix)
        pull, own = (inverse @ np.array(self._ln)).tolist(), np.diag(inverse).tolist()
        return [(p / q, sqrt(1 / q)) for p, q in zip(pull, own, strict=True)]

    def _own_variance(self, place: tuple[str, int]) -> float:
        if place not in self._own:
            loom, spacers = place
            self._own[place] = (self._sd.setting if fitted(self._looms[loom], spacers) else self._sd.outside) ** 2
        return self._own[place]

    def _shared(self, a: Sequence[Setting], b: Sequence[Setting]) -> "np.ndarray[Any, np.dtype[np.float64]]":
        """Prior covariance, len(a) × len(b): the variance of every effect that the two settings share."""
        import numpy as np

        total = np.full((len(a), len(b)), self._sd.knitter**2)
        for name, key in SHARED:
            codes: dict[Hashable, int] = {}
            ours = np.array([codes.setdefault(key(s), len(codes)) for s in a])
            theirs = np.array([codes.get(key(s), -1) for s in b])
            total += getattr(self._sd, name) ** 2 * (ours[:, None] == theirs[None, :])
        where: dict[Setting, list[int]] = {}
        for i, s in enumerate(a):
            where.setdefault(s, []).append(i)
        for j, s in enumerate(b):
            if s in where:
                total[where[s], j] += self._own_variance(s[:2])
        return total

    def _whitened(self, rows: "np.ndarray[Any, np.dtype[np.float64]]") -> "list[np.ndarray[Any, np.dtype[np.float64]]]":
        """L⁻¹ · rows, one row at a time: plain sums, so that no setting's figure depends on its neighbours'."""
        lower = self._lower.tolist()
        done: list[np.ndarray[Any, np.dtype[np.float64]]] = []
        for factors, row in zip(lower, rows, strict=True):
            left = row
            for factor, earlier in zip(factors, done, strict=False):
                left = left - factor * earlier
            done.append(left / factors[len(done)])
        return done


def gauges(kit: Kit, settings: Sequence[Setting], *, pooled: bool = False) -> dict[Setting, Gauge]:
    """The gauge of each setting, in the order asked; a setting neither guessable nor swatched is left out.

    A yarn without wraps per inch has no guess: its swatched settings stand alone, by their own counts, and teach no
    other. `pooled`: so does every swatched setting, with no prior. KeyError for a loom or yarn not in the kit.
    """
    guess, sd = Prior(kit), sds(kit)
    groups = by_setting(swatches(kit, sd))
    wide, high, ratio = (each.at(settings) for each in learned(kit, guess, sd, groups))
    found: dict[Setting, Gauge] = {}
    rounded = _Rounded(sd.piece**2)
    for setting, told, tall, loop in zip(settings, wide, high, ratio, strict=True):
        own, um = groups.get(setting, ()), guess.stitch_um(setting)
        if um is not None and not (pooled and own):
            width, height = um[0] * exp(told.mean), um[1] * exp(tall.mean)
            variances, basis = (told.variance, tall.variance), "blended" if told.taught else "estimate"
        elif own:
            width, height, variances = _counted(own)
        else:
            continue
        w, h, (w_ppm, h_ppm) = whole(width), whole(height), map(rounded.ppm, variances, _scatter(own))
        yarn_um = loop_um(w, h, own, loop)
        found[setting] = Gauge(w, h, yarn_um, w_ppm, h_ppm, "measured" if own else basis, bool(own))
    return found


class _Rounded:
    """Spreads of a new piece in ppm, each variance worked out once: few settings differ, and roots are not free."""

    def __init__(self, piece: float) -> None:
        self._piece, self._known = piece, dict[float, int]()

    def ppm(self, variance: float, scatter: float) -> int:
        """√(variance + what every piece keeps to itself), widened by the swatches' scatter."""
        if scatter > 1:
            return whole(1e6 * scatter * sqrt(variance + self._piece))
        if variance not in self._known:
            self._known[variance] = whole(1e6 * sqrt(variance + self._piece))
        return self._known[variance]


def _scatter(own: Sequence[Observation]) -> tuple[float, float]:
    """Birge ratios of a setting's own swatches, of width and of height; 1 where they agree."""
    if len(own) < 2:
        return 1.0, 1.0
    wide, high = float(own[0].width_um), float(own[0].height_um)
    return (
        birge([(ln_ratio(s.width_um, wide), s.width_noise) for s in own]),
        birge([(ln_ratio(s.height_um, high), s.height_noise) for s in own]),
    )


def by_setting(seen: Sequence[Observation]) -> dict[Setting, list[Observation]]:
    """Swatches in their settled order, by setting."""
    return {setting: list(group) for setting, group in groupby(seen, key=lambda s: s.setting)}


def learned(
    kit: Kit, guess: Prior, sd: Sds, groups: Mapping[Setting, Sequence[Observation]]
) -> tuple[Posterior, Posterior, Posterior]:
    """Posteriors of width, of height, and of loop over formula, from every swatched setting that has a guess.

    Swatches of one setting are pooled first: for a Gaussian that is the same and keeps the Cholesky small.
    """
    wide, high, ratio = [], [], []
    for setting, group in groups.items():
        um = guess.stitch_um(setting)
        if um is None:
            continue
        wide.append((setting, *pool((ln_ratio(s.width_um, um[0]), s.width_noise) for s in group)))
        high.append((setting, *pool((ln_ratio(s.height_um, um[1]), s.height_noise) for s in group)))
        weighed = [(ln, s.ratio_noise) for s in group if (ln := loop_ratio(s)) is not None]
        if weighed:
            ratio.append((setting, *pool(weighed)))
    return Posterior(kit, sd, wide), Posterior(kit, sd, high), Posterior(kit, loop_sds(kit), ratio)


def _counted(own: Sequence[Observation]) -> tuple[float, float, tuple[float, float]]:
    """Width, height and their variances from a setting's own swatches alone, by inverse noise variance."""
    first_width, first_height = float(own[0].width_um), float(own[0].height_um)
    wide, wide_variance = pool((ln_ratio(s.width_um, first_width), s.width_noise) for s in own)
    high, high_variance = pool((ln_ratio(s.height_um, first_height), s.height_noise) for s in own)
    return first_width * exp(wide), first_height * exp(high), (wide_variance, high_variance)

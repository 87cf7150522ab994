"""The gauge model of one quantity: what some swatches teach about any setting, in closed form.

ln(true / guess) is a sum of effects with mean 0: the knitter (shared by all), the loom, the yarn with its strands, the
stitch, the setting. A swatch sees that sum plus counting noise and what any piece keeps to itself. All is Gaussian: one
small Cholesky over the swatched settings, then every other setting at once.
"""

from collections.abc import Callable, Hashable, Sequence
from functools import cached_property
from math import sqrt
from typing import TYPE_CHECKING, Any

from catalog.kit import Kit
from solver.gauging.observation import Foretold, Sds
from solver.gauging.prior import Setting, fitted

if TYPE_CHECKING:
    import numpy as np

SHARED: tuple[tuple[str, Callable[[Setting], Hashable]], ...] = (
    ("loom", lambda s: s.loom),
    ("yarn", lambda s: (s.yarn, s.strands)),
    ("stitch", lambda s: s.stitch),
)


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

    @cached_property
    def _lower(self) -> "np.ndarray[Any, np.dtype[np.float64]]":
        import numpy as np

        return np.asarray(np.linalg.cholesky(self._matrix), dtype=np.float64)

    @cached_property
    def _white(self) -> list[float]:
        import numpy as np

        return [float(row[0]) for row in self._whitened(np.array(self._ln)[:, None])]

    def left_out(self) -> "LeftOut":
        """What was seen, each thing to be held against the others."""
        return LeftOut(self._matrix, self._ln)

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


class LeftOut:
    """Things seen of one quantity, each held against all the others; what is set aside speaks for none of them."""

    def __init__(self, matrix: "np.ndarray[Any, np.dtype[np.float64]]", ln: Sequence[float]) -> None:
        """`matrix` is the covariance of what was seen, noise and all; `ln` what was seen."""
        import numpy as np

        self._inverse, self._ln = np.linalg.inv(matrix), np.array(ln)

    def away(self) -> list[tuple[float, float]]:
        """How far each stands from what the others foretell, and the sd of that (of ln); (0, 1) once set aside."""
        pull, own = (self._inverse @ self._ln).tolist(), self._inverse.diagonal().tolist()
        return [(p / q, sqrt(1 / q)) if q > 0 else (0.0, 1.0) for p, q in zip(pull, own, strict=True)]

    def set_aside(self, i: int) -> None:
        """Take one away: the inverse of what is left, without inverting again."""
        column = self._inverse[:, i].copy()
        self._inverse -= column[:, None] * column[None, :] / column[i]
        self._inverse[i, :] = self._inverse[:, i] = 0.0

"""Width, or height, of one setting: what is foretold of it with its own swatches, doubted ones heard with care."""

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from solver.gauging.observation import SUREST, Foretold, pool
from solver.gauging.prior import whole
from solver.gauging.scatter import birge


class Counted(NamedTuple):
    """What one swatch of the setting says: ln of its size over the reference, noise (sd of ln), whether doubted."""

    ln: float
    noise: float
    doubted: bool


class Size(NamedTuple):
    """ln over the reference and its variance; `scatter` widens the whole spread, which is never under `least`."""

    ln: float
    variance: float
    scatter: float = 1.0
    least: float = 0.0


def own_size(own: Sequence[Counted], foretold: Foretold | None, *, alone: bool) -> Size:
    """The size of a setting with swatches; `foretold` has the undoubted ones in it already, None: nothing is foretold.

    A doubted swatch counts where the undoubted ones do not outnumber it: then the spread reaches from the middle to it
    and to what the others foretold, for one of the two is wrong. `alone`: own swatches only, without a prior.
    """
    good, bad = ([(c.ln, c.noise) for c in own if c.doubted is doubted] for doubted in (False, True))
    counting = good if len(good) > len(bad) else [*good, *bad]
    heard = bad if len(bad) >= len(good) else []
    if alone or foretold is None:
        mean, variance = pool(counting)
    elif heard:
        mean, variance = pool([(foretold.mean, sqrt(max(foretold.variance, SUREST**2))), *heard])
    else:
        mean, variance = foretold.mean, foretold.variance
    apart = [ln for ln, _ in heard] + ([foretold.mean] if foretold and heard else [])
    return Size(mean, variance, birge(counting), max((abs(mean - ln) for ln in apart), default=0.0))


class Rounded:
    """Spreads of a new piece in ppm, each variance worked out once: few settings differ, and roots are not free."""

    def __init__(self, piece: float) -> None:
        """`piece` is the sd of ln that every piece keeps to itself."""
        self._piece, self._known = piece**2, dict[float, int]()

    def ppm(self, size: Size) -> int:
        """√(variance + what every piece keeps to itself), as wide as scatter and doubt make it."""
        if size.scatter > 1 or size.least:
            return whole(1e6 * max(size.scatter * sqrt(size.variance + self._piece), size.least))
        if size.variance not in self._known:
            self._known[size.variance] = whole(1e6 * sqrt(size.variance + self._piece))
        return self._known[size.variance]

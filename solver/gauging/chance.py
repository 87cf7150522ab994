"""How likely a piece comes out right, from the spread of its gauge: the girth is pegs × width, ln-normal."""

from collections.abc import Callable
from functools import lru_cache
from math import ceil, erf, exp, floor, hypot, log, sqrt
from typing import Protocol

from catalog.errors import bad_word
from catalog.units import UnitError, half_up, number
from solver.gauging.prior import whole


class Spread(Protocol):
    """What a chance needs of a gauge: stitch width in µm and the sd of its ln in ppm."""

    @property
    def width_um(self) -> int: ...
    @property
    def width_ppm(self) -> int: ...


def chance_within(gauge: Spread, pegs: int, girth_um: int, tol_um: int) -> float:
    """Chance, 0–1, that a tube of `pegs` stitches is within `tol_um` either side of `girth_um`, both in µm."""
    made, sd = pegs * gauge.width_um, gauge.width_ppm / 1e6
    low, high = girth_um - tol_um, girth_um + tol_um
    if sd == 0:
        return float(low <= made <= high)
    below = 0.0 if low <= 0 else _up_to(log(low / made) / sd)
    return max(0.0, _up_to(log(high / made) / sd) - below) if high > 0 else 0.0


def chance_of_body(gauge: Spread, pegs: int, girth_um: int, tol_um: int, body_sd_um: int) -> float:
    """Chance, 0–1, that a tube suits one of the bodies that a table's girth stands for: both doubts together.

    As `chance_within`, but what such a body wants differs from `girth_um` by `body_sd_um`: a Gaussian of sd
    √(body sd² + (spread × girth)²), all in µm (own).
    """
    made = pegs * gauge.width_um
    sd = hypot(body_sd_um, gauge.width_ppm * made / 1e6)
    if sd == 0:
        return float(abs(made - girth_um) <= tol_um)
    return _up_to((tol_um + girth_um - made) / sd) - _up_to((girth_um - made - tol_um) / sd)


def likely_girth_um(gauge: Spread, pegs: int, share: float = 0.8) -> tuple[int, int]:
    """The middle range, µm, that holds the finished girth with chance `share` (0 < share < 1, else ValueError)."""
    if not 0 < share < 1:
        raise ValueError(f"Expected share in (0, 1), found {share}.")
    out = exp(sds_either_side(share) * gauge.width_ppm / 1e6)
    made = pegs * gauge.width_um
    return whole(made / out), whole(made * out)


def peg_interval(gauge: Spread, girth_um: int, tol_um: int, sure: float) -> tuple[int, int] | None:
    """The pegs, fewest and most, for which `chance_within` is at least `sure`; None where no number of pegs is.

    The chance rises to one peak and falls again, so each end is found by halving, on `chance_within` itself.
    ValueError unless 0 < sure ≤ 1.
    """
    if not 0 < sure <= 1:
        raise ValueError(f"Expected sure in (0, 1], found {sure}.")
    low, high = girth_um - tol_um, girth_um + tol_um
    if high <= 0:
        return None

    def holds(pegs: int) -> bool:
        return chance_within(gauge, pegs, girth_um, tol_um) >= sure

    top = next((n for n in _peak(gauge, low, high) if holds(n)), None)
    if top is None:
        return None
    beyond = top
    while holds(beyond):
        beyond *= 2
    return (1 if holds(1) else _turn(lambda n: not holds(n), 1, top) + 1), _turn(holds, top, beyond)


def best_chance(gauge: Spread, girth_um: int, tol_um: int) -> float:
    """The chance that the likeliest number of pegs gives, 0–1."""
    low, high = girth_um - tol_um, girth_um + tol_um
    return max(chance_within(gauge, n, girth_um, tol_um) for n in _peak(gauge, low, high)) if high > 0 else 0.0


def _peak(gauge: Spread, low: int, high: int) -> tuple[int, int]:
    """The numbers of pegs on either side of the likeliest: its girth is the geometric mean of the limits."""
    peak = 1.0 if low <= 0 else max(1.0, sqrt(low) * sqrt(high) / gauge.width_um)
    return floor(peak), ceil(peak)


CHANCE = 'a chance of more than 0 and less than 1, such as 0.8 or "80%"'


def chance_ppm(field: str, text: str) -> int:
    """A chance as typed, "0.8" or "80%", in ppm. Raises InputError unless it is more than 0 and less than 1."""
    try:
        value, sign = number(text)
    except UnitError:
        raise bad_word(field, text, CHANCE) from None
    ppm = half_up(value * (10_000 if sign == "%" else 1_000_000))
    if sign not in ("", "%") or not 0 < ppm < 1_000_000:
        bare = sign == "" and 1 < value < 100
        raise bad_word(field, text, CHANCE, f'write "{text.strip()}%"' if bare else "")
    return ppm


def _turn(holds: Callable[[int], bool], inside: int, outside: int) -> int:
    """The last number that still holds, going from `inside` (holds) up to `outside` (does not)."""
    while outside - inside > 1:
        middle = (inside + outside) // 2
        inside, outside = (middle, outside) if holds(middle) else (inside, middle)
    return inside


def _up_to(z: float) -> float:
    return 0.5 * (1 + erf(z / sqrt(2)))


@lru_cache(maxsize=8)
def sds_either_side(share: float) -> float:
    from statistics import NormalDist  # slow to import, and only a page of options needs it

    return NormalDist().inv_cdf((1 + share) / 2)

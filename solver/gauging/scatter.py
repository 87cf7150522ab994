"""Swatches of one setting that scatter more than their noise allows: how much wider its spread is (Birge 1932)."""

from collections.abc import Sequence
from functools import lru_cache
from math import erf, exp, lgamma, log, sqrt

from catalog.figure import figure
from solver.gauging.observation import pool


def birge(values: Sequence[tuple[float, float]]) -> float:
    """The ratio √(χ²/(n−1)) of (ln, noise) pairs where χ² is above the 95 % point of n−1 degrees, else 1.

    Below that point honest swatches scatter as much by themselves, and widening would punish them (Birge, Phys. Rev.
    40 (1932) 207, from memory; where it begins is own).
    """
    degrees = len(values) - 1
    if degrees < 1:
        return 1.0
    mean, _ = pool(values)
    chi2 = sum(((ln - mean) / noise) ** 2 for ln, noise in values)
    return 1.0 if chi2 <= degrees or chi2_below(chi2, degrees) <= _honest() else sqrt(chi2 / degrees)


@lru_cache(maxsize=1)
def _honest() -> float:
    return float(figure("scatter_honest"))


def chi2_below(x: float, degrees: int) -> float:
    """The chance, 0–1, that χ² of so many degrees (a whole number from 1) lies below x > 0: the closed form."""
    half, first = x / 2, 0.5 if degrees % 2 else 0.0
    steps = (first + i for i in range(degrees // 2))
    above = sum(exp(step * log(half) - half - lgamma(step + 1)) for step in steps)
    return (erf(sqrt(half)) if degrees % 2 else 1.0) - above

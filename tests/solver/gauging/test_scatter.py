"""The Birge ratio and its χ², against scipy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chi2

from solver.gauging.scatter import birge, chi2_below

PAIRS = st.tuples(st.floats(-0.3, 0.3), st.floats(0.005, 0.1))


@settings(derandomize=True, deadline=None)
@given(st.floats(0.01, 2_000), st.integers(1, 600))
def test_chi_squared_is_scipy_s(x: float, degrees: int) -> None:
    """Even and odd degrees, far beyond what a kit holds, where sums of powers would overflow."""
    assert chi2_below(x, degrees) == pytest.approx(float(chi2.cdf(x, degrees)), abs=1e-9)


@settings(derandomize=True, deadline=None)
@given(st.lists(PAIRS, min_size=2, max_size=6))
def test_only_beyond_what_nineteen_honest_sets_in_twenty_do(pairs: list[tuple[float, float]]) -> None:
    """By scipy's own 95 % point: 1 under it, √(χ²/(n−1)) above."""
    weights = [1 / noise**2 for _, noise in pairs]
    mean = sum(w * ln for w, (ln, _) in zip(weights, pairs, strict=True)) / sum(weights)
    seen = sum(((ln - mean) / noise) ** 2 for ln, noise in pairs)
    degrees = len(pairs) - 1
    expected = (seen / degrees) ** 0.5 if seen > chi2.ppf(0.95, degrees) else 1.0
    assert birge(pairs) == pytest.approx(max(1.0, expected))


def test_one_swatch_scatters_from_nothing() -> None:
    assert birge([(0.2, 0.01)]) == 1.0

"""Chance of fit, likely girth, and the pegs that are sure enough."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import lognorm

from solver.gauging.chance import chance_within, likely_girth_um, peg_interval
from tests.kits.spreads import Spread

OURS = Spread(6350, 30_000)
SPREADS = st.builds(Spread, st.integers(2_000, 30_000), st.integers(0, 400_000))
GIRTHS, TOLS = st.integers(50_000, 900_000), st.integers(0, 80_000)


@settings(derandomize=True, deadline=None)
@given(SPREADS, st.integers(1, 200), GIRTHS, TOLS)
def test_chance_is_scipy_s_lognormal(spread: Spread, pegs: int, girth: int, tol: int) -> None:
    """P(girth − tol ≤ pegs × width × e^error ≤ girth + tol), error normal: scipy.stats.lognorm's own figure."""
    if spread.width_ppm == 0:
        expected = float(abs(pegs * spread.width_um - girth) <= tol)
    else:
        made = lognorm(s=spread.width_ppm / 1e6, scale=pegs * spread.width_um)
        expected = made.cdf(girth + tol) - made.cdf(girth - tol)
    assert chance_within(spread, pegs, girth, tol) == pytest.approx(expected, abs=1e-9)


def test_chance_of_84_stitches_within_an_inch_of_21() -> None:
    """84 × 6350 µm is 21 in; an inch either side is 4.65 % and 4.88 % of ln, 1.55 and 1.63 sd: 0.888 (normal table)."""
    assert chance_within(OURS, 84, 533_400, 25_400) == pytest.approx(0.888, abs=1e-3)


def test_likely_girth_holds_its_share() -> None:
    """80 % either side of the middle is 1.2816 sd (normal table): 533.4 mm × e^±0.03845, equal chances outside."""
    low, high = likely_girth_um(OURS, 84)
    assert (low, high) == (513_282, 554_307)
    made = lognorm(s=0.03, scale=533_400)
    assert made.cdf(high) - made.cdf(low) == pytest.approx(0.8, abs=1e-5)
    assert likely_girth_um(OURS, 84, share=0.5)[0] > low


@settings(derandomize=True, deadline=None, max_examples=200)
@given(SPREADS, GIRTHS, TOLS, st.floats(0.05, 0.99))
def test_peg_interval_is_every_peg_that_is_sure_enough(spread: Spread, girth: int, tol: int, sure: float) -> None:
    """Against asking each number of pegs in turn, up to twice what the girth can hold."""
    sure_enough = [n for n in range(1, 1000) if chance_within(spread, n, girth, tol) >= sure]
    expected = (sure_enough[0], sure_enough[-1]) if sure_enough else None
    assert peg_interval(spread, girth, tol, sure) == expected
    assert sure_enough == (list(range(expected[0], expected[1] + 1)) if expected else [])


def test_no_pegs_are_sure_enough_for_an_unsure_gauge() -> None:
    """A spread of 15 % is within 4.8 % about one time in four: never four in five."""
    assert peg_interval(Spread(6350, 150_000), 533_400, 25_400, 0.8) is None
    assert peg_interval(OURS, 533_400, 25_400, 0.8) == (83, 85)


@pytest.mark.parametrize("sure", [0.0, -0.1, 1.1])
def test_sure_is_a_chance(sure: float) -> None:
    with pytest.raises(ValueError, match=r"Expected sure in \(0, 1\]"):
        peg_interval(OURS, 533_400, 25_400, sure)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_share_is_between_none_and_all(share: float) -> None:
    with pytest.raises(ValueError, match=r"Expected share in \(0, 1\)"):
        likely_girth_um(OURS, 84, share)

"""The closed form against scipy's multivariate normal over all effects, spelt out one by one."""

from math import log, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import multivariate_normal, norm

from catalog.kit import Kit
from solver.gauging.doubt import Doubts
from solver.gauging.gaussian import Posterior
from solver.gauging.observation import sds, swatches
from solver.gauging.posterior import by_setting, gauges, learned
from solver.gauging.prior import Prior, Setting
from tests.kits.gauge_kits import OURS, kit, swatch

WIDE_PLACES = [("attic frame", s) for s in range(5)] + [("porch ring", 0), ("cellar ring", 0), ("long rake", 0)]
SETTINGS = st.builds(
    lambda place, yarn, strands, stitch: Setting(place[0], place[1], yarn, strands, stitch),
    st.sampled_from(WIDE_PLACES),
    st.sampled_from(["moss wool", "kettle chunky"]),
    st.integers(1, 2),
    st.sampled_from(["u-wrap", "e-wrap"]),
)
COUNTS = st.integers(12, 90).map(lambda n: n / 2)


def effects_of(setting: Setting) -> dict[tuple[Any, ...], float]:
    """Each effect in a setting with its sd, from the design's own list; the cellar ring's 16 mm was never fitted."""
    return {
        ("knitter",): 0.08,
        ("loom", setting.loom): 0.08,
        ("yarn", setting.yarn, setting.strands): 0.04,
        ("stitch", setting.stitch): 0.08,
        ("setting", *setting): 0.20 if setting.loom == "cellar ring" else 0.03,
    }


def joint(target: Setting, seen: list[tuple[Setting, float]]) -> multivariate_normal:
    """scipy's normal of (target, every observation): design matrix × effects, plus each swatch's count and piece."""
    rows = [effects_of(target), *(effects_of(s) for s, _ in seen)]
    names = sorted({name for row in rows for name in row}, key=str)
    sd = {name: value for row in rows for name, value in row.items()}
    design = np.array([[float(name in row) for name in names] for row in rows])
    effects = np.diag([sd[name] ** 2 for name in names])
    noise = np.diag([0.0, *(max(0.01, 0.3 / count) ** 2 + 0.02**2 for _, count in seen)])
    return multivariate_normal(np.zeros(len(rows)), design @ effects @ design.T + noise, allow_singular=True)


def by_scipy(target: Setting, seen: list[tuple[Setting, float]], ln: list[float]) -> tuple[float, float]:
    """Mean and variance of the target given ln, read off the joint log density: a parabola in the target."""
    density, step = joint(target, seen), 0.1
    below, at, above = (density.logpdf([t, *ln]) for t in (-step, 0.0, step))
    variance = step**2 / (2 * at - below - above)
    return variance * (above - below) / (2 * step), variance


def posteriors(a_kit: Kit) -> tuple[Posterior, Posterior]:
    sd = sds(a_kit)
    return learned(a_kit, Prior(a_kit), sd, by_setting(swatches(a_kit, sd)), Doubts())[:2]


@settings(max_examples=150, derandomize=True, deadline=None)
@given(st.lists(st.tuples(SETTINGS, COUNTS, COUNTS), max_size=5), SETTINGS)
def test_agrees_with_scipy_on_random_kits(counted: list[tuple[Setting, float, float]], target: Setting) -> None:
    """Mean and variance of ln width and of ln height to 1e-6, for 0 to 5 swatches anywhere."""
    a_kit = kit(*(swatch(stitches, rows, at) for at, stitches, rows in counted))
    guess = Prior(a_kit)
    for i, found in enumerate(posteriors(a_kit)):
        seen = [(at, (stitches, rows)[i]) for at, stitches, rows in counted]
        ln = [log(101_600 / count / (guess.stitch_um(at) or (0, 0))[i]) for at, count in seen]
        mean, variance, _ = found.at([target])[0]
        expected = by_scipy(target, seen, ln)
        assert mean == pytest.approx(expected[0], abs=1e-6)
        assert variance == pytest.approx(expected[1], abs=1e-6)


@pytest.mark.parametrize("count", [12, 16, 20])
def test_agrees_with_integration_over_the_one_effect(count: int) -> None:
    """One swatch, its own setting: the prior density × the count's likelihood, integrated numerically."""
    a_kit = kit(swatch(count, 20))
    seen = log(101_600 / count / (Prior(a_kit).stitch_um(OURS) or (0,))[0])
    prior, noise = norm(0, sqrt(3 * 0.08**2 + 0.04**2 + 0.03**2)), norm(0, sqrt((0.3 / count) ** 2 + 0.02**2))

    def moment(power: int) -> float:
        value, _ = quad(lambda t: t**power * prior.pdf(t) * noise.pdf(seen - t), -1, 1, points=[seen], limit=200)
        return float(value)

    mean = moment(1) / moment(0)
    told = posteriors(a_kit)[0].at([OURS])[0]
    assert told.mean == pytest.approx(mean, abs=1e-6)
    assert told.variance == pytest.approx(moment(2) / moment(0) - mean**2, abs=1e-6)


def test_gauges_are_the_posterior_rounded() -> None:
    """Width is the guess × e^mean, spread the root of variance + 0.02², to the rounding of µm and ppm."""
    target = OURS._replace(spacers=4)
    counted = [(OURS, 17.0), (OURS._replace(loom="porch ring", spacers=0), 11.5), (OURS, 16.0)]
    a_kit = kit(*(swatch(count, 20, at) for at, count in counted))
    guess = Prior(a_kit)
    ln = [log(101_600 / count / (guess.stitch_um(at) or (0,))[0]) for at, count in counted]
    mean, variance = by_scipy(target, counted, ln)
    found = gauges(a_kit, [target])[target]
    assert found.width_um == pytest.approx((guess.stitch_um(target) or (0,))[0] * np.exp(mean), abs=0.51)
    assert found.width_ppm == pytest.approx(1e6 * sqrt(variance + 0.02**2), abs=1.5)

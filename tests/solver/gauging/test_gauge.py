"""Gauge from swatches: basis, spread, what teaches what, and that no order shows."""

import subprocess
import sys
from itertools import permutations
from math import log, sqrt

import pytest

from catalog.kit import Kit
from solver.gauging.posterior import Gauge, gauges
from solver.gauging.prior import Setting
from tests.kits.gauge_kits import COBWEB, FRAME, KETTLE, MOSS, OURS, RAKE, RING, WIDE_RING, kit, swatch

SAME_LOOM = OURS._replace(spacers=1)
OTHER_YARN = OURS._replace(yarn="kettle chunky")
OTHER_LOOM = OURS._replace(loom="porch ring", spacers=0)
FAR_LOOM = OURS._replace(loom="cellar ring", spacers=0)
COBWEB_AT = OURS._replace(yarn="cobweb")
ALL = [OURS, SAME_LOOM, OTHER_YARN, OTHER_LOOM, FAR_LOOM, OURS._replace(strands=2), OURS._replace(stitch="e-wrap")]


def gauge(a_kit: Kit, at: Setting = OURS, *, pooled: bool = False) -> Gauge:
    return gauges(a_kit, [at], pooled=pooled)[at]


def test_without_a_swatch_the_spread_is_every_effect_and_the_piece() -> None:
    """√(3 × 0.08² + 0.04² + 0.03² + 0.02²) = 14.866 % (by hand, spreads of figures.toml)."""
    found = gauge(kit())
    assert (found.width_ppm, found.height_ppm) == (148_661, 148_661)
    assert (found.basis, found.swatched) == ("estimate", False)


def test_outside_the_fitted_range_the_setting_itself_is_unsure() -> None:
    """√(3 × 0.08² + 0.04² + 0.20² + 0.02²) = 24.739 % (by hand): pitch 16 mm was never fitted."""
    assert gauge(kit(), FAR_LOOM).width_ppm == 247_386


def test_the_kit_may_set_every_spread() -> None:
    """√(0.1² + 0.2²) = 22.361 %, the rest set to 0 (by hand)."""
    none = dict.fromkeys(("loom", "yarn", "stitch", "setting"), 0)
    assert gauge(kit(spreads={"knitter": 0.1, "piece": 0.2, **none})).width_ppm == 223_607


def test_one_swatch_by_hand() -> None:
    """Noise 0.3/16 of the count and 0.02 of the piece; ln moves by 0.0217/(0.0217 + noise²) of ln(6350/6401).

    The rest of the variance stays: 3.36 % for a new piece of a swatch of 16 over 4 in, not 2.7.
    """
    prior, noise = 3 * 0.08**2 + 0.04**2 + 0.03**2, (0.3 / 16) ** 2 + 0.02**2
    found = gauge(kit(swatch(16, 20)))
    assert found.width_um == round(6401 * (6350 / 6401) ** (prior / (prior + noise)))
    assert found.width_ppm == pytest.approx(1e6 * sqrt(prior * noise / (prior + noise) + 0.02**2), abs=1)
    assert (found.basis, found.swatched) == ("measured", True)


def test_a_swatch_sharpens_its_own_setting_most_then_its_loom_then_the_others_a_little() -> None:
    spread = {s: g.width_ppm for s, g in gauges(kit(swatch(16, 20)), ALL).items()}
    bare = {s: g.width_ppm for s, g in gauges(kit(), ALL).items()}
    assert spread[OURS] < spread[SAME_LOOM] < spread[OTHER_YARN] < spread[OTHER_LOOM] < bare[OTHER_LOOM]
    assert all(spread[s] < bare[s] for s in ALL)


def test_a_wider_swatch_widens_everything_it_teaches() -> None:
    """The same swatch 10 % wider than guessed: its own setting follows by most of it, another loom by some."""
    bare, told = gauges(kit(), ALL), gauges(kit(swatch(14.43, 20)), ALL)
    moved = {s: told[s].width_um / bare[s].width_um - 1 for s in ALL}
    assert 0.09 < moved[OURS] < 0.10
    assert 0.02 < moved[OTHER_LOOM] < moved[SAME_LOOM] < moved[OURS]


def test_basis_says_what_taught_it() -> None:
    told = gauges(kit(swatch(16, 20)), ALL)
    assert {s: g.basis for s, g in told.items()} == {OURS: "measured", **dict.fromkeys(ALL[1:], "blended")}
    assert {g.basis for g in gauges(kit(), ALL).values()} == {"estimate"}


def test_a_swatch_that_shares_no_effect_teaches_nothing() -> None:
    """With a knitter and stitch of no spread at all, another loom and yarn stays an estimate."""
    apart = OTHER_LOOM._replace(yarn="kettle chunky")
    alone = kit(swatch(12, 15), spreads={"knitter": 0, "stitch": 0})
    assert gauge(alone, apart).basis == "estimate"
    assert gauge(alone, apart).width_um == gauge(kit(), apart).width_um


def test_the_order_of_a_kit_never_shows() -> None:
    """Swatches, looms and yarns in any order, settings asked in any order: the same gauges to the last figure."""
    rows = [swatch(16, 20), swatch(17, 21, mass="15 g", knitted={"stitches": 30, "rows": 40}), swatch(16, 20, ALL[3])]
    rows.append(swatch(13, 16, ALL[5]))
    expected = gauges(kit(*rows), ALL)
    for order in permutations(range(4)):
        turned = kit(*(rows[i] for i in order), loom=[RAKE, WIDE_RING, RING, FRAME], yarn=[COBWEB, KETTLE, MOSS])
        assert gauges(turned, ALL[::-1]) == expected
        assert gauges(turned, ALL[2:3])[ALL[2]] == expected[ALL[2]]


def test_an_unguessable_yarn_has_no_gauge_until_it_is_swatched() -> None:
    """Class 0 has no wraps per inch: left out; swatched it stands on its counts alone and teaches no other."""
    assert gauges(kit(), [COBWEB_AT, OURS]).keys() == {OURS}
    lace = kit(swatch(33, 40, COBWEB_AT))
    found = gauge(lace, COBWEB_AT)
    assert (found.width_um, found.height_um, found.basis) == (3079, 2540, "measured")
    assert found.width_ppm == pytest.approx(1e6 * sqrt(0.01**2 + 2 * 0.02**2), abs=1)  # 0.3/33 is under the least, 1 %
    assert gauge(lace).basis == "estimate"
    assert gauge(lace) == gauge(kit())


def test_measured_pools_a_setting_s_own_swatches_and_asks_no_prior() -> None:
    """Two counts, 16 and 17 over 4 in, weighed by 1/((0.3/n)² + 0.02²) each: ln width and its sd by hand."""
    found = gauge(kit(swatch(16, 20), swatch(17, 20), swatch(9, 9, OTHER_LOOM)), pooled=True)
    first, second = (1 / ((0.3 / n) ** 2 + 0.02**2) for n in (16, 17))
    share = second / (first + second)
    assert found.width_um == pytest.approx(101_600 / 16 ** (1 - share) / 17**share, abs=0.5)
    assert found.width_ppm == pytest.approx(1e6 * sqrt(1 / (first + second) + 0.02**2), abs=1)


def test_swatches_of_one_setting_that_contradict_widen_its_spread_alone() -> None:
    """16 and 19 over 4 in: χ² = 0.1719²/(0.02742² + 0.02549²) = 21.1 of 1 degree: √21.1 = 4.59 times as wide (by hand).

    The middle is the posterior's as before, the rows agree and keep theirs, and no other setting is any wider.
    """
    noise = [(0.3 / n) ** 2 + 0.02**2 for n in (16, 19)]
    ratio = sqrt(log(19 / 16) ** 2 / sum(noise))
    prior = 3 * 0.08**2 + 0.04**2 + 0.03**2
    pair = kit(swatch(16, 20), swatch(19, 20), spreads={"outlier_sds": 10})
    found = gauges(pair, ALL)
    variance = 1 / (1 / prior + 1 / noise[0] + 1 / noise[1])
    assert ratio == pytest.approx(4.59, abs=0.01)
    assert found[OURS].width_ppm == pytest.approx(1e6 * ratio * sqrt(variance + 0.02**2), abs=2)
    alike = gauges(kit(swatch(17, 20), swatch(18, 20)), ALL)  # about as many stitches: about the same noise
    assert found[OURS].height_ppm == alike[OURS].height_ppm
    for s in ALL[1:]:
        assert found[s].width_ppm == pytest.approx(alike[s].width_ppm, rel=2e-3)


def test_an_honest_pair_is_not_punished() -> None:
    """16 and 17 over 4 in: χ² = 2.6 of one degree, under the 3.84 of 95 %: no wider than two swatches that agree."""
    pair, alike = gauge(kit(swatch(16, 20), swatch(17, 20))), gauge(kit(swatch(16.5, 20), swatch(16.5, 20)))
    assert pair.width_ppm == pytest.approx(alike.width_ppm, rel=1e-3)


def test_measured_widens_what_scatters_too() -> None:
    """16 and 19 pooled without a prior: 1/√Σ of the weights, and the piece, 4.59 times as wide."""
    noise = [(0.3 / n) ** 2 + 0.02**2 for n in (16, 19)]
    found = gauge(kit(swatch(16, 20), swatch(19, 20), spreads={"outlier_sds": 10}), pooled=True)
    variance = 1 / (1 / noise[0] + 1 / noise[1])
    ratio = sqrt(log(19 / 16) ** 2 / sum(noise))
    assert found.width_ppm == pytest.approx(1e6 * ratio * sqrt(variance + 0.02**2), abs=2)


def test_measured_with_one_swatch_is_its_own_count() -> None:
    """16 stitches and 20 rows over 4 in: exactly 6350 and 5080 µm."""
    found = gauge(kit(swatch(16, 20)), pooled=True)
    assert (found.width_um, found.height_um, found.basis) == (6350, 5080, "measured")


def test_measured_leaves_other_settings_as_they_were() -> None:
    one = kit(swatch(16, 20))
    assert gauges(one, ALL[1:], pooled=True) == gauges(one, ALL[1:])


def test_four_inches_are_not_ten_centimetres() -> None:
    """18 stitches over 4 in are 17.72 over 10 cm; 18 over 10 cm is another gauge."""
    inches, metric = gauge(kit(swatch(18, 22)), pooled=True), gauge(kit(swatch(18, 22, over="10 cm")), pooled=True)
    assert 100_000 / inches.width_um == pytest.approx(17.72, abs=0.005)
    assert metric.width_um == 5556


def test_numpy_stays_out_until_there_is_a_swatch() -> None:
    """With numpy barred, a kit without swatches has its gauges all the same: start-up does not pay for it."""
    code = """
import sys
sys.modules["numpy"] = None
sys.path.insert(0, "tests")
from tests.kits.gauge_kits import OURS, kit
from solver.gauging.posterior import gauges
print(gauges(kit(), [OURS])[OURS].width_um)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "6401\n"

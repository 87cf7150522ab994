"""Yarn in a stitch: the formula, weighed and unravelled swatches, and the published areal check."""

from fractions import Fraction
from math import sqrt

import pytest

from solver.gauging.loop_length import formula_loop_um
from solver.gauging.observation import measured_loop, sds, unused_masses
from solver.gauging.posterior import gauges
from tests.kits.gauge_kits import MOSS, OURS, kit, swatch

SAME_LOOM = OURS._replace(spacers=1)
OTHER_LOOM = OURS._replace(loom="porch ring", spacers=0)
ALL = [OURS, SAME_LOOM, OTHER_LOOM]


def test_unweighed_yarn_follows_the_formula() -> None:
    for found in gauges(kit(swatch(16, 20)), ALL).values():
        assert found.loop_um == formula_loop_um(found.width_um, found.height_um)


@pytest.mark.parametrize("strands", [1, 2])
def test_a_weighed_swatch_gives_the_loop(strands: int) -> None:
    """15 g of 500 tex is 30 m; over 30 × 40 stitches 25 mm each, as of twice that with two strands (by hand)."""
    at = OURS._replace(strands=strands)
    weighed = kit(swatch(16, 20, at, mass=f"{15 * strands} g", knitted={"stitches": 30, "rows": 40}))
    assert gauges(weighed, [at])[at].loop_um == 25_000


def test_an_unravelled_swatch_gives_the_loop_and_beats_its_mass() -> None:
    """36 m over 1,200 stitches is 30 mm each, strands unravelled as one."""
    at = OURS._replace(strands=2)
    rows = swatch(16, 20, at, mass="15 g", yarn_length="36 m", knitted={"stitches": 30, "rows": 40})
    assert gauges(kit(rows), [at])[at].loop_um == 30_000


def test_several_weighed_swatches_are_pooled_by_their_noise() -> None:
    """25 mm by 15 g (0.3 g of it, 2 %) and 26 mm unravelled (1 %): four parts of the latter in ln (by hand)."""
    knitted = {"stitches": 30, "rows": 40}
    both = kit(swatch(16, 20, mass="15 g", knitted=knitted), swatch(16, 20, yarn_length="31.2 m", knitted=knitted))
    assert gauges(both, [OURS])[OURS].loop_um == round(25_000 ** (1 / 5) * 26_000 ** (4 / 5)) == 25_797


def test_a_weighed_swatch_teaches_the_yarn_of_other_settings() -> None:
    """10 % more yarn than the formula says: its loom's other setting follows by most of it, another loom by less."""
    plain = gauges(kit(swatch(16, 20)), ALL)
    length = f"{formula_loop_um(6350, 5080) * 1.1 * 1200 / 1000} mm"
    told = gauges(kit(swatch(16, 20, yarn_length=length, knitted={"stitches": 30, "rows": 40})), ALL)
    more = {s: told[s].loop_um / plain[s].loop_um - 1 for s in ALL}
    assert more[OURS] == pytest.approx(0.1, abs=1e-3)
    assert 0.03 < more[OTHER_LOOM] < more[SAME_LOOM] < more[OURS]


@pytest.mark.parametrize(("grams", "knitted"), [(15, (30, 40)), (3, (15, 16))])
def test_kitchen_scales_teach_less_of_a_light_swatch(grams: int, knitted: tuple[int, int]) -> None:
    """25 mm where the counts say 24.757: other spacers take 0.0090 of 0.0094 + noise² of it (by hand).

    Noise is 0.3 g over the grams weighed, and half of each count's, 0.3/16 and 0.3/20 (spreads of figures.toml).
    """
    shared, noise = 0.06**2 + 0.03**2 + 0.03**2 + 0.06**2, (0.3 / grams) ** 2 + ((0.3 / 16) ** 2 + (0.3 / 20) ** 2) / 4
    length = f"{25 * knitted[0] * knitted[1]} mm"
    yarn = {**MOSS, "length_per_ball": length, "mass_per_ball": f"{grams} g"}
    rows = swatch(16, 20, mass=f"{grams} g", knitted={"stitches": knitted[0], "rows": knitted[1]})
    taught = gauges(kit(rows, yarn=[yarn]), [SAME_LOOM])[SAME_LOOM]
    more = (25 / sqrt(19 * 6.35 * 5.08)) ** (shared / (shared + 0.02**2 + noise))
    assert taught.loop_um == pytest.approx(sqrt(19 * taught.width_um * taught.height_um) * more, abs=1)


def test_a_mass_without_a_label_is_left_aside_and_said() -> None:
    """A class's typical tex is out by a quarter: it would spoil what the formula knows."""
    at = OURS._replace(yarn="kettle chunky")
    unlabelled = kit(swatch(12, 15, at, mass="15 g", knitted={"stitches": 30, "rows": 40}))
    found = gauges(unlabelled, [at])[at]
    assert found.loop_um == formula_loop_um(found.width_um, found.height_um)
    assert unused_masses(unlabelled) == [
        'swatch[1]: its mass is left aside: "kettle chunky" has no length_per_ball and mass_per_ball to weigh it by'
    ]
    assert unused_masses(kit(swatch(16, 20, mass="15 g", knitted={"stitches": 30, "rows": 40}))) == []


@pytest.mark.parametrize(("width", "height", "loop_mm", "tex"), [(1190, 909, 5, 30), (6350, 5080, 25, 500)])
def test_weighing_agrees_with_the_published_areal_formula(width: int, height: int, loop_mm: int, tex: int) -> None:
    """g/m² = loops/cm² × l(mm) × tex / 100 (published, handbook formula); 92.4 × 5 × 30 / 100 = 138.6 g/m²."""
    per_cm2 = 10_000**2 / (width * height)
    grams = per_cm2 * loop_mm * tex / 100 * (200 * width * 300 * height) / 1e12
    yarn = {**MOSS, "length_per_ball": "1000 m", "mass_per_ball": f"{tex} g"}
    knitted = {"stitches": 200, "rows": 300}
    weighed = kit(swatch(16, 20, mass=f"{grams:.4f} g", knitted=knitted), yarn=[yarn])
    loop, _ = measured_loop(weighed.swatch[0], weighed.yarn[0], sds(weighed))
    assert float(loop or Fraction(0)) == pytest.approx(loop_mm * 1000, rel=1e-4)

"""The starting guess: loop geometry, Munden's constants, and the yarn weight table."""

from fractions import Fraction
from itertools import product
from math import pi, sqrt

import pytest

from catalog.figure import figure
from catalog.kit import Kit, built_in_kit
from catalog.units import half_up
from catalog.yarn import classes_at, lofty_um
from solver.gauging.loop_length import formula_loop_um
from solver.gauging.prior import Prior, Setting, fitted, relaxed_um, whole
from tests.bench.kit import bench_kit
from tests.kits.gauge_kits import OURS, kit

IN_UM = 25_400


def test_medium_wool_on_a_plain_frame_is_near_four_stitches_and_five_rows_an_inch() -> None:
    """Pitch 9.5 mm, gap 6.2 mm, class 4, u-wrap: within 12 % of 4 and 5 to the inch (common practice, no source)."""
    um = Prior(kit()).stitch_um(OURS)
    assert um is not None
    assert IN_UM / um[0] == pytest.approx(4, rel=0.12)
    assert IN_UM / um[1] == pytest.approx(5, rel=0.12)


def test_loop_of_a_facing_row_by_hand() -> None:
    """Gap 3 + 2 × 1.6 = 6.2 mm, half a pitch 4.75: 2 × 7.8105 + half of π(3 + 2.54) = 24.323 mm (by hand)."""
    assert Prior(kit()).loop_um(OURS) == pytest.approx(2 * sqrt(6.2**2 + 4.75**2) * 1000 + pi / 2 * 5540, abs=1e-6)
    assert Prior(kit()).loop_um(OURS) == pytest.approx(24_323, abs=1)


def test_loop_without_a_facing_row_follows_the_pitch() -> None:
    """A ring of 12 mm pitch, e-wrap, two strands of class 4: 12 + π(6 + 2.54√2) mm (by hand)."""
    loop = Prior(kit()).loop_um(OURS._replace(loom="porch ring", spacers=0, strands=2, stitch="e-wrap"))
    assert loop == pytest.approx(12_000 + pi * (6000 + 3592), abs=1e-6)


def test_a_slider_with_a_gap_is_a_facing_row() -> None:
    """Base gap 8 mm, pitch 12.7 mm: 2√(64 + 40.3225) = 20.428 mm from peg to peg (by hand)."""
    loop = Prior(kit()).loop_um(OURS._replace(loom="long rake", spacers=0))
    assert loop == pytest.approx(20_428 + pi / 2 * (5000 + 2540), abs=1)


def test_every_spacer_lengthens_the_loop() -> None:
    guess = Prior(kit())
    loops = [guess.loop_um(OURS._replace(spacers=s)) or 0 for s in range(5)]
    assert loops == sorted(set(loops))


def test_no_wraps_per_inch_no_guess() -> None:
    """Class 0 has no typical wraps per inch: nothing is invented."""
    assert Prior(kit()).stitch_um(OURS._replace(yarn="cobweb")) is None


@pytest.mark.parametrize(
    ("loom", "spacers", "inside"),
    [("attic frame", 0, True), ("attic frame", 4, True), ("porch ring", 0, True), ("cellar ring", 0, False)],
)
def test_where_the_guess_was_fitted(loom: str, spacers: int, inside: bool) -> None:
    """Pitch 6–13 mm; a ring has no gap to be outside of."""
    assert fitted({each.name: each for each in kit().loom}[loom], spacers) is inside


@pytest.mark.parametrize(
    ("changed", "inside"),
    [
        ({}, True), ({"base_gap_um": 10_000}, True), ({"base_gap_um": 10_001}, False), ({"base_gap_um": 1_999}, False),
        ({"pitch_um": 13_001}, False), ({"pitch_um": 6_000}, True), ({"pitch_um": 5_999}, False),
    ],
)  # fmt: skip
def test_the_edges_of_the_fitted_range(changed: dict[str, int], inside: bool) -> None:
    """Pitch 6–13 mm and gap 2–10 mm, edges included: a slider of 8 mm gap, one measure changed at a time."""
    rake = {each.name: each for each in kit().loom}["long rake"]
    assert fitted(rake.model_copy(update=changed), 0) is inside


def test_loops_per_square_centimetre_of_a_published_examination() -> None:
    """GATE TF 2015 (published examination paper): Kc 5.5, Kw 4.2, l = 0.5 cm → 92.4 loops/cm²."""
    width, height = relaxed_um(5_000, 4.2, 5.5)
    assert 10_000**2 / (width * height) == pytest.approx(92.4, abs=0.05)


def test_the_constants_are_munden_s_dry_relaxed_row() -> None:
    """Munden, J. Text. Inst. 50 (1959) T448, from memory: Kc 5.0, Kw 3.8, Ks 19.0, courses over wales about 1.3."""
    assert figure("kc_dry") * figure("kw_dry") == 19
    um = Prior(kit()).stitch_um(OURS)
    assert um is not None
    assert um[0] / um[1] == pytest.approx(1.3, abs=0.02)


@pytest.mark.parametrize("loop_um", [8_000, 24_323, 61_007])
def test_the_yarn_formula_undoes_the_guess(loop_um: int) -> None:
    """l = √(Ks · width · height) with Ks = Kc · Kw gives back the loop, to the rounding of width and height."""
    width, height = (half_up(x) for x in relaxed_um(loop_um, 3.8, 5.0))
    assert formula_loop_um(width, height) == pytest.approx(loop_um, abs=6)


@pytest.mark.parametrize(("width", "height", "loop"), [(19, 1, 19), (1, 1, 4), (6350, 5080, 24_757), (1, 5, 10)])
def test_the_yarn_formula_rounds_half_up_in_whole_numbers(width: int, height: int, loop: int) -> None:
    """√361 = 19; √19 = 4.36; √612 902 000 = 24 756.9; √95 = 9.75 (by hand)."""
    assert formula_loop_um(width, height) == loop


def test_whole_is_half_up() -> None:
    """The quick rounding agrees with the exact one, at the float just below a half as well."""
    for x in (0.5, 1.5, 2.5, 0.49999999999999994, -0.5, -1.5, 6350.499999, 1e15 + 0.5):
        assert whole(x) == half_up(x)


@pytest.mark.parametrize(
    ("count", "classes"),
    [
        (Fraction(33), [0]), (Fraction(40), [0]), (Fraction(27), [1]), (Fraction(32), [1]), (Fraction(26), [2]),
        (Fraction(23), [2, 3]), (Fraction(24), [2, 3]), (Fraction(21), [3]), (Fraction(20), [4]), (Fraction(16), [4]),
        (Fraction(31, 2), []), (Fraction(15), [5]), (Fraction(12), [5]), (Fraction(11), [6]), (Fraction(7), [6]),
        (Fraction(6), [7]), (Fraction(41), []),
    ],
)  # fmt: skip
def test_yarn_classes_by_stitches_in_four_inches(count: Fraction, classes: list[int]) -> None:
    """Standard Yarn Weight System (published table): classes 2 and 3 overlap, 15.5 falls in none."""
    assert classes_at(count) == classes


@pytest.mark.parametrize("kit", [built_in_kit(), bench_kit(8)], ids=["built in", "bench"])
def test_an_e_wrap_is_somewhat_wider_than_a_u_wrap(kit: Kit) -> None:
    """Common practice, no source: 1.1 to 1.3 times as wide, and as high, where the guess was fitted.

    Without the crossing of its legs it came out 1.4 to 1.55 times. A yarn thicker than 0.30 of the pitch reaches 1.33.
    """
    prior, seen, thick = Prior(kit), list[float](), list[float]()
    for loom, yarn in product(kit.loom, kit.yarn):
        lofty = lofty_um(yarn, 1)
        if lofty and fitted(loom, 0) and 0.15 <= lofty / loom.pitch_um <= 0.46:
            u, e = (prior.stitch_um(Setting(loom.name, 0, yarn.name, 1, s)) for s in ("u-wrap", "e-wrap"))
            assert u is not None
            assert e is not None
            (seen if lofty / loom.pitch_um <= 0.3 else thick).append(e[0] / u[0])
            assert e[1] / u[1] == pytest.approx(e[0] / u[0])
    assert len(seen) > 2
    assert all(1.1 <= ratio <= 1.3 for ratio in seen), seen
    assert all(1.1 <= ratio <= 1.33 for ratio in thick), thick

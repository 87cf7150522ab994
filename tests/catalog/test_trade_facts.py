"""The main job against facts of the trade (common practice, no source) and published tables."""

from fractions import Fraction
from pathlib import Path

import pytest

from catalog.kit import Kit, kit_of
from solver.asking.wish import Wish
from solver.plan.answer import answer
from solver.report.find import OptionPlan
from tests.kits.one_ring import one_ring

IN = 25_400


def best(kit: Kit, **wish: object) -> OptionPlan:
    """The first option of a hat at the swatch's own count."""
    return answer(kit, Wish("hat", measured_only=True, unit="in", **wish)).report.options[0]  # type: ignore[arg-type]


def test_sixty_pegs_at_four_stitches_make_a_fifteen_inch_hat() -> None:
    """Common practice, no source: pegs / stitches to the inch = inches round."""
    option = best(one_ring(4, 5, 60), around_um=15 * IN)
    assert option.pegs == 60
    assert option.girth_mm == pytest.approx(15 * 25.4)


def test_a_21_inch_hat_at_four_stitches_takes_84_pegs() -> None:
    """Common practice, no source."""
    kit = one_ring(4, 5, 84)
    assert best(kit, around_um=21 * IN).girth_miss_mm == 0
    one_short = answer(one_ring(4, 5, 78), Wish("hat", around_um=21 * IN, measured_only=True))
    assert not one_short.report.options


@pytest.mark.parametrize(
    ("long_in", "rib_rows", "total", "plain"),
    [(6, 10, 30, 20), (8, 15, 40, 25)],
    ids=["a child's hat of 6 in", "a woman's hat of 8 in"],
)
def test_rows_at_five_to_the_inch(long_in: int, rib_rows: int, total: int, plain: int) -> None:
    """Common practice, no source: 6 in is 30 rows, 20 plain when 10 are rib; 8 in is 40, 25 plain when 15 are rib."""
    band = rib_rows * IN // 5
    option = best(one_ring(4, 5, 80), around_um=20 * IN, long_um=long_in * IN, band=(band, None))
    assert (option.rows_total, option.rows_band, option.rows_plain) == (total, rib_rows, plain)


def test_a_mans_hat_is_about_22_in_round_and_9_in_long() -> None:
    """Common practice, no source; a woman's is about 8 in long (within an inch: the catalogue scales with the head)."""
    man = answer(one_ring(4, 5, 88), Wish("hat", size="adult-man", fit="close")).report.ask
    assert man.girth_mm == pytest.approx(22 * 25.4, abs=0.75 * 25.4)
    assert man.length_mm == pytest.approx(9 * 25.4, abs=0.25 * 25.4)
    woman = answer(one_ring(4, 5, 88), Wish("hat", size="adult-woman", fit="close")).report.ask
    assert woman.length_mm == pytest.approx(8 * 25.4, abs=25.4)
    assert woman.girth_mm < man.girth_mm


def test_the_bare_frame_comes_out_near_four_and_five_to_the_inch() -> None:
    """Common practice, no source: 9.5 mm pitch, a gap of 6.2 mm, class 4, u-wrap: 4 stitches, 5 rows, within 12 %."""
    frame = {
        "name": "frame", "build": "boards", "pitch": "9.5 mm", "peg_diameter": "3 mm", "base_gap": "6.2 mm",
        "joining": True, "ends_anywhere": True, "side_boards": [{"name": "side", "pegs": 40, "on_hand": 2}],
    }  # fmt: skip
    kit = kit_of({"loom": [frame], "yarn": [{"name": "wool", "weight": 4, "fibre": "wool"}]}, "a bare frame")
    option = answer(kit, Wish("hat", around_um=19 * IN, unit="in")).report.options[0]
    assert option.gauge_basis == "estimate"
    assert Fraction(IN, option.stitch_width_um) == pytest.approx(4, rel=0.12)
    assert Fraction(IN, option.row_height_um) == pytest.approx(5, rel=0.12)


def test_numbers_of_the_first_option_by_hand() -> None:
    """Pegs × stitch width, rows × row height, and yarn by the formulas of the README, worked out by hand.

    84 pegs × 6350 µm = 533.4 mm; 42 rows × 5080 µm = 213.36 mm. Loop √(19 · 6.35 · 5.08) = 24.757 mm, with a tenth
    more 27.233 mm. 84 × (42 + 1) loops = 98 365.6 mm; woven 10.45 · 84 = 877.8 mm; sewn off three times
    that and 220 mm; two tails 330 mm.
    """
    option = best(one_ring(4, 5, 84), around_um=21 * IN)
    assert (option.pegs, option.rows_total) == (84, 42)
    assert (option.girth_mm, option.length_mm) == (533.4, 213.36)
    assert option.yarn_m == pytest.approx((84 * 43 * 27.233 + 4 * 877.8 + 220 + 330) / 1000, abs=0.01)
    assert option.yarn_g == pytest.approx(option.yarn_m / 2, abs=0.06)


def test_the_built_in_kit_answers_on_a_bare_install(tmp_path: Path) -> None:
    """`pegwright find hat --around "21 in"` with nothing prepared."""
    from tests.command import pegwright

    ran = pegwright("find", "hat", "--around", "21 in", here=tmp_path)
    assert ran.code == 0
    assert "built-in kit" in ran.err
    assert ran.out.splitlines()[1].split()[:2] == ["1*", "84"]

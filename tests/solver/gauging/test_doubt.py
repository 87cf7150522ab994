"""Swatches far from the others are named, with by how much."""

from solver.gauging.doubt import outliers
from tests.kits.gauge_kits import KETTLE, MOSS, OURS, kit, swatch

SAME_LOOM = OURS._replace(spacers=3)


def test_swatches_that_agree_are_left_in_peace() -> None:
    assert outliers(kit()) == []
    assert outliers(kit(swatch(16, 20))) == []
    assert outliers(kit(swatch(16, 20), swatch(16, 21), swatch(16.5, 20))) == []


def test_a_miscount_is_named_and_not_its_neighbours() -> None:
    """Three counts of 16 and one of 13, 23 % wider than 16: only the 13 is asked about."""
    found = outliers(kit(swatch(16, 20), swatch(13, 20), swatch(16, 20), swatch(16, 20)))
    assert [(o.place, o.what, o.percent) for o in found] == [(1, "stitches", 23)]
    assert found[0].says == (
        "this swatch is 23 % from your others: recount? (stitches: counted 13, expected about 16.0)"
    )


def test_two_miscounts_are_both_named() -> None:
    """The furthest is set aside before the next is looked for; rows are judged apart from stitches."""
    rows = [swatch(16, 20) for _ in range(5)]
    found = outliers(kit(*rows, swatch(11, 20), swatch(16, 26)))
    assert [(o.place, o.what) for o in found] == [(5, "stitches"), (6, "rows")]


def test_where_it_stands_in_the_file_does_not_matter() -> None:
    rows = [swatch(16, 20), swatch(16, 20, SAME_LOOM), swatch(22, 20)]
    forth, back = outliers(kit(*rows)), outliers(kit(*rows[::-1]))
    assert [o._replace(place=2 - o.place) for o in back] == forth != []


def test_a_lone_swatch_is_held_against_the_guess() -> None:
    """16 stitches over 4 cm written for 4 in: less than half as wide as the loom could knit."""
    found = outliers(kit(swatch(16, 20, over="4 cm")))
    assert [(o.place, o.what) for o in found] == [(0, "rows"), (0, "stitches")]
    assert found[1].says == (
        "this swatch is 61 % from the starting guess: recount? (stitches: counted 16, expected about 6.2)"
    )


def test_a_swatch_on_another_loom_may_differ_more() -> None:
    """The same 13 that is doubtful beside three 16s is not on a loom that nobody has swatched."""
    elsewhere = swatch(13, 20, OURS._replace(loom="long rake", spacers=0))
    assert outliers(kit(swatch(16, 20), elsewhere, swatch(16, 20), swatch(16, 20))) == []


def test_a_weighing_far_from_the_formula_is_named() -> None:
    """60 m over 1,200 stitches is 50 mm each where the counts say 24.8."""
    found = outliers(kit(swatch(16, 20, yarn_length="60 m", knitted={"stitches": 30, "rows": 40})))
    assert [(o.what, o.percent) for o in found] == [("yarn", 102)]
    assert "from the formula: weigh again?" in found[0].says


def test_a_yarn_without_a_guess_is_not_judged() -> None:
    lace = OURS._replace(yarn="cobweb")
    both = [MOSS, KETTLE, {"name": "cobweb", "weight": 0}]
    assert outliers(kit(swatch(3, 4, lace), yarn=both)) == []

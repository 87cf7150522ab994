"""Asks that once ended as a fault of ours, or in a sentence that was not true."""

from dataclasses import replace
from typing import Any

import pytest

from catalog.kit import built_in_kit, kit_of
from solver import wish
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.report.clash import ClashReport
from solver.why.check import check
from solver.why.explain import explain
from tests.bench.kit import bench_kit

HOOP: dict[str, Any] = {"build": "ring", "pitch": "12 mm", "peg_diameter": "5 mm"}
CHUNKY = {
    "name": "kettle chunky", "weight": 5, "length_per_ball": "110 m", "mass_per_ball": "100 g", "fibre": "acrylic",
    "balls": 1,
}  # fmt: skip
TWO_RINGS = {"loom": [HOOP | {"name": f"ring {n}", "pegs": n} for n in (20, 48)], "yarn": [CHUNKY]}


def told(wish: Wish, tables: dict[str, Any] | None = None) -> ClashReport:
    """The explanation of a wish over some tables, or over the bench kit."""
    kit = bench_kit() if tables is None else kit_of(tables, "test kit")
    return explain(kit, wish, ask_of(kit, wish))


@pytest.mark.parametrize("cm", range(28, 40))
def test_a_toy_whose_limbs_would_fit_the_big_ring_but_for_the_yarn(cm: int) -> None:
    """With its girth wholly open a limb fits the ring of 48, where one ball runs out; on the ring of 20 it does not."""
    report = told(Wish("toy", around_um=cm * 10_000, unit="cm"), TWO_RINGS)
    assert report.clash
    assert all(each.need != each.have for each in report.clash)


MITTENS = Wish("mittens", around_um=2_000_000, long_um=300_000, unit="cm")


def test_mittens_for_a_hand_two_metres_round_are_not_called_small() -> None:
    """Their thumb would begin 0.60 × the hand's length + 1 cm from the tip; 30 cm are asked for in all."""
    report = told(MITTENS)
    assert "small" not in report.says
    assert report.says.endswith("cm where you want 30.0 cm in all.")
    for loom in check(bench_kit(), MITTENS).looms:
        assert "small" not in loom.says
        assert "no other girth" not in loom.says  # a smaller hand has a smaller thumb


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_less_than_one_row(unit: str) -> None:
    """Of 0.3 mm of hat not one row can be worked, and neither length reads as nothing."""
    says = told(replace(MITTENS, item="hat", around_um=500_000, long_um=300, unit=unit)).says
    assert says.startswith("A single row is ")
    assert "0.0 " not in says


@pytest.mark.parametrize(
    ("asked", "loom", "inches"),
    [
        ({"item": "hat", "around": "2in"}, "attic frame", 4.0),
        ({"item": "hat", "around": "21in", "sure": "90%"}, "attic frame", 18.0),
        ({"item": "slippers", "around": "20in"}, "attic frame", 16.8),
    ],
)
def test_where_another_girth_would_do_nobody_is_told_that_none_would(
    asked: dict[str, str], loom: str, inches: float
) -> None:
    """What follows from a girth is another at another; the girth that is told, typed, is made on that loom."""
    kit, words = built_in_kit(), {**asked}
    item = words.pop("item")
    told = next(e for e in check(kit, wish(item, **words)).looms if e.loom == loom)  # type: ignore[arg-type]
    assert not told.allows
    assert "no other girth" not in told.says
    near = [mm for mm in (told.nearest_below_mm, told.nearest_above_mm) if mm is not None]
    assert [round(mm / 25.4, 1) for mm in near] == [inches]
    again = check(kit, wish(item, **words | {"around": f"{near[0]} mm", "loom": loom}))  # type: ignore[arg-type]
    assert again.looms[0].allows

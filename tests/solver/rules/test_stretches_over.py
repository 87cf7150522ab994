"""stretches-over: the tube stretches to 1.6 times the relaxed girth of its pegs (own), and what must pass is less."""

from dataclasses import replace
from fractions import Fraction

import pytest

from catalog.figure import figures
from solver.asking.wish import Wish
from tests.kits.edges import ONE_WAY, SWATCH
from tests.kits.small import found, kit_with

# 60 pegs of 6 mm are 360 mm; 1.6 times that is 576 mm.
COWL = Wish(
    "cowl", wearer="cook", long_um=150_000, girth_within_um=0, length_within_um=0, band=(25_000, 50_000),
    pins=ONE_WAY, measured_only=True,
)  # fmt: skip


@pytest.mark.parametrize(("head", "holds"), [(576_000, True), (576_001, False)])
def test_a_head_goes_through_or_does_not(head: int, holds: bool) -> None:
    """A head of 1.6 times the relaxed girth goes through, one a thousandth of a mm larger does not."""
    kit = kit_with(("swatch.0", SWATCH), ("wearer.0", {"name": "cook", "head": f"{head / 1000} mm"}))
    cowl = replace(COWL, ease_um=360_000 - head)
    assert found(kit, cowl) == holds
    assert found(kit, cowl, "stretches-over")


def test_without_a_head_it_is_not_judged() -> None:
    """A cowl asked for by its finished girth has no such rule."""
    assert found(kit_with(("swatch.0", SWATCH)), replace(COWL, wearer=None, around_um=360_000))


@pytest.mark.parametrize(("head", "holds"), [(594_000, True), (594_001, False)])
def test_a_limit_of_two_decimals_counts_whole(head: int, holds: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """1.65 of 360 mm is 594 mm; when ratios were cut to tenths, 1.65 counted as 1.6 and a head of 594 was refused."""
    limit = figures()["stretch_limit"]
    monkeypatch.setitem(figures(), "stretch_limit", limit.model_copy(update={"value": Fraction(165, 100)}))
    kit = kit_with(("swatch.0", SWATCH), ("wearer.0", {"name": "cook", "head": f"{head / 1000} mm"}))
    cowl = replace(COWL, ease_um=360_000 - head)
    assert found(kit, cowl) == holds

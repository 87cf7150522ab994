"""What things measure and take by common practice of the trade, which has no source: the built-in kit's best setups."""

from functools import cache

import pytest

from catalog.kit import built_in_kit
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.plan.answer import answer
from solver.report.find import FindReport, OptionPlan

WORSTED = Pins(yarn="moss wool", strands=1)  # class 4, 200 m to 100 g


@cache
def report(item: str, size: str) -> FindReport:
    """What is found where nothing but the size is said, in worsted."""
    return answer(built_in_kit(), Wish(item, size=size, pins=WORSTED), 1).report


def best(item: str, size: str) -> OptionPlan:
    """Its first option."""
    return report(item, size).options[0]


def test_a_womans_cowl_is_50_to_58_cm_round() -> None:
    """Common practice, no source: 20 to 23 inches. It was 15 inches when it was made for the neck."""
    assert 500 <= best("cowl", "adult-woman").girth_mm <= 580


@pytest.mark.parametrize("size", ["adult-woman", "adult-man"])
def test_an_adults_mitten_has_room_and_a_cuff(size: str) -> None:
    """Common practice, no source: -2 to +12 % of the hand, a cuff of 5 to 7.5 cm; once 5 % under, with 1.5 inches."""
    hand = report("mittens", size).ask.body_mm
    assert hand is not None
    assert 0.98 * hand <= best("mittens", size).girth_mm <= 1.12 * hand
    depth = best("mittens", size).band_depth_mm
    assert depth is not None
    assert 50 <= depth <= 75


def test_a_pair_of_womans_socks_takes_110_to_220_m_of_worsted() -> None:
    """Common practice, no source."""
    assert 110 <= best("socks", "adult-woman").yarn_m <= 220


@pytest.mark.parametrize("size", ["adult-woman", "adult-man"])
@pytest.mark.parametrize("item", ["hat", "hat-brim-first"])
def test_an_adults_hat_takes_90_to_180_m_of_worsted(item: str, size: str) -> None:
    """Common practice, no source."""
    assert 90 <= best(item, size).yarn_m <= 180


@pytest.mark.parametrize("size", ["3-months", "6-months"])
@pytest.mark.parametrize("item", ["hat", "hat-brim-first"])
def test_a_cap_of_3_to_6_months_is_35_to_41_cm_round(item: str, size: str) -> None:
    """Common practice, no source."""
    assert 350 <= best(item, size).girth_mm <= 410

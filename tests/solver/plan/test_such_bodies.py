"""How many of ten such heads: against heads and hats drawn at random, and who is told."""

from pathlib import Path

import numpy as np
import pytest

from catalog.kit import built_in_kit
from solver.asking.wish import Wish
from solver.gauging.chance import chance_of_body, chance_within
from solver.plan.answer import answer
from solver.plan.saved import plan_of
from tests.command import pegwright
from tests.kits.spreads import Spread

KIT = built_in_kit()


@pytest.mark.parametrize(("pegs", "ppm", "body_sd"), [(84, 33_600, 19_400), (80, 50_000, 19_400), (88, 20_000, 30_000)])
def test_both_doubts_together_are_what_happens(pegs: int, ppm: int, body_sd: int) -> None:
    """400,000 heads about the table's, each with its hat: that suits within an inch of what the head wants."""
    draw = np.random.default_rng(3)
    made = pegs * 6350 * np.exp(draw.normal(0, ppm / 1e6, 400_000))
    wanted = 533_400 + draw.normal(0, body_sd, 400_000)
    happened = float(np.mean(np.abs(made - wanted) <= 25_400))
    said = chance_of_body(Spread(6350, ppm), pegs, 533_400, 25_400, body_sd)
    assert said == pytest.approx(happened, abs=0.006)
    assert said < chance_within(Spread(6350, ppm), pegs, 533_400, 25_400)


def test_without_any_doubt_it_suits_or_does_not() -> None:
    assert chance_of_body(Spread(6350, 0), 84, 533_400, 25_400, 0) == 1
    assert chance_of_body(Spread(6350, 0), 90, 533_400, 25_400, 0) == 0


def test_a_woman_and_one_swatch_are_seven_in_ten_and_not_eight(tmp_path: Path) -> None:
    """sd √(1.94² + (3.36 % of 53.3 cm)²) = 2.64 cm, 2.54 of limit either side: 0.66; the girth asked itself 0.84."""
    ran = pegwright("find", "hat", "--size", "adult-woman", "--top", "1", here=tmp_path)
    assert " 84%" in ran.out
    said = " ".join(ran.out.split())
    assert "note: of ten such heads option 1 suits about 7, for the head and the gauge are both unsure." in said
    assert "Heads differ: measure, if you can" in said


def test_a_plan_says_it_without_a_rank() -> None:
    """Its sheet shows one setup only."""
    wish = Wish("hat", size="adult-woman")
    notes = plan_of(answer(KIT, wish, 1), wish).notes
    assert any(note.startswith("of ten such heads it suits about 7") for note in notes)


@pytest.mark.parametrize(
    "wish", [Wish("hat", body_um=560_000), Wish("hat", around_um=533_400), Wish("hat", wearer="eldest")]
)
def test_nothing_is_said_of_a_head_that_was_measured(wish: Wish) -> None:
    """A tape, a finished girth, a wearer's own measure."""
    assert not any("of ten" in note for note in answer(KIT, wish, 2).report.notes)


def test_hands_and_feet_are_called_so() -> None:
    """And options that suit as many are named together."""
    for item, many in (("mittens", "hands"), ("slippers", "feet")):
        (note,) = (n for n in answer(KIT, Wish(item, size="adult-woman"), 5).report.notes if "of ten" in n)
        assert note.startswith(f"of ten such {many} option")
        assert many.capitalize() in note

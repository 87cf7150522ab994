"""Sure enough: the girth of the main piece, ln-normal about pegs × width, is within its limit with the chance asked."""

from dataclasses import replace
from typing import Any

import pytest

from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.rule import Gap
from solver.model.setup import Setup
from solver.rules.sure_enough import RULE, pegs_sure
from solver.search.best_first import find
from solver.search.windows import pegs_window
from tests.kits.edges import HAT, RAKE, RAKE_SWATCH, SWATCH
from tests.kits.small import found, kit_with

# The count is taken as exact; the swatch and the hat each keep 0.03 / √2 to themselves, so the sd of ln girth is 0.03.
# 60 pegs of 6 mm are 360 mm.
SPREADS = ("spreads", {"piece": 0.0212132, "count": 0, "count_least": 0})
KIT = kit_with(("swatch.0", SWATCH), SPREADS)


def wish(around_um: int, within_um: int, sure_ppm: int | None) -> Wish:
    """A hat of 60 pegs whose girth may miss by so much."""
    return replace(HAT, around_um=around_um, girth_within_um=within_um, sure_ppm=sure_ppm)


@pytest.mark.parametrize(
    ("around_um", "within_um", "sure_ppm"),
    [
        # ln(350/360) = -0.939 sd, ln(370/360) = 0.913 sd: 0.8195 - 0.1739 = 0.6456 (normal table)
        (360_000, 10_000, 645_000),
        # too tight a tube: ln(352/360) = -0.749 sd, ln(392/360) = 2.839 sd: 0.9977 - 0.2269 = 0.7708
        (372_000, 20_000, 770_000),
        # too wide a one: ln(328/360) = -3.103 sd, ln(368/360) = 0.733 sd: 0.7681 - 0.0010 = 0.7671
        (348_000, 20_000, 767_000),
    ],
)
def test_sixty_pegs_are_as_sure_as_the_normal_table_says(around_um: int, within_um: int, sure_ppm: int) -> None:
    """At the chance they hold, a thousandth above they do not, and with that rule dropped they do again."""
    assert found(KIT, wish(around_um, within_um, sure_ppm))
    above = wish(around_um, within_um, sure_ppm + 1_000)
    assert not found(KIT, above)
    assert found(KIT, above, "sure-enough")


def test_the_pegs_that_are_sure_enough_are_two_gaps() -> None:
    """60 pegs of 59..61 hold; `least` and `most` say on which side another ask would miss."""
    ask = ask_of(KIT, wish(360_000, 18_000, 790_000))
    way = next(w for w in ask.ways if w.swatched)
    assert pegs_sure(ask, way) == (59, 61)
    assert list(RULE.gaps(_with_pegs(ask, 60))) == [Gap(59, 60, "pegs", "least"), Gap(60, 61, "pegs", "most")]


def test_a_gauge_too_unsure_says_how_sure_it_can_be() -> None:
    """With an sd of 0.3 the best tube is within 18 mm of 360 one time in eight:

    ±0.05 / 0.3 = ±0.167 sd, 0.1324."""
    unsure = kit_with(("swatch.0", SWATCH), ("spreads", {"piece": 0.212132, "count": 0, "count_least": 0}))
    ask = ask_of(unsure, wish(360_000, 18_000, 800_000))
    assert all(pegs_sure(ask, way) is None for way in ask.ways)
    (gap,) = RULE.gaps(_with_pegs(ask, 60))
    assert (gap.need, gap.unit, gap.about) == (800_000, "ppm", "none")
    assert gap.have == pytest.approx(132_400, abs=200)
    assert not found(unsure, wish(360_000, 18_000, 800_000))


def test_nothing_is_asked_without_a_chance() -> None:
    """No --sure, no gaps."""
    assert list(RULE.gaps(_with_pegs(ask_of(KIT, wish(360_000, 0, None)), 60))) == []


@pytest.mark.parametrize("sure_ppm", [None, 100_000, 700_000, 790_000, 815_000, 900_000, 999_999])
def test_every_peg_count_left_out_early_breaks_the_rule(sure_ppm: int | None) -> None:
    """pegs_window leaves out exactly the peg counts that the rule and the girth limit refuse, and the search agrees."""
    ask = ask_of(
        kit_with(("swatch.0", RAKE_SWATCH), SPREADS),
        replace(RAKE, around_um=330_000, girth_within_um=18_000, length_within_um=40_000, sure_ppm=sure_ppm),
    )
    (way,) = [w for w in ask.ways if w.swatched]
    counts = range(20, 61)
    inside = [n for n in counts if all(g.need <= g.have for g in RULE.gaps(_with_pegs(ask, n)))]
    near = [n for n in inside if abs(6_000 * n - 330_000) <= 18_000]
    assert list(pegs_window(ask, ask.pieces[0], way, counts)) == near
    shown = find(ask, 100, all_pegs=True).options
    assert [o.setup.pieces[0].pegs for o in sorted(shown, key=lambda o: o.setup.pieces[0].pegs)] == [
        n for n in near if n % 2 == 0
    ]


def _with_pegs(ask: Any, pegs: int) -> Setup:
    way = next(w for w in ask.ways if w.swatched)
    setup = Setup.bare(ask, (way,) * len(ask.pieces))
    setup.pieces[0].pegs = pegs
    return setup

"""The words of the ranked table: misses, what options share, and a sentence of the mark that is true of its options."""

from __future__ import annotations

import re

import pytest

from solver.cli.table import option_lines
from solver.page.choice_words import alike, alike_words, front_words, miss_words, worked_with
from solver.report.find import OptionPlan
from tests.kits.sheetplans import answer_for


def hats(top: int = 12) -> list[OptionPlan]:
    """The best hats of the built-in kit."""
    return answer_for("hat", top=top).report.options


def marked(*figures: tuple[float, float]) -> list[OptionPlan]:
    """Options of these likely misses and yarns, the mark where no other is at most equal on both and less on one."""
    told = [o.model_copy(update={"likely_miss_mm": m, "yarn_m": y}) for o, (m, y) in zip(hats(), figures, strict=False)]
    beaten = [any(p != q and p[0] <= q[0] and p[1] <= q[1] for p in figures) for q in figures]
    return [o.model_copy(update={"front": not lost}) for o, lost in zip(told, beaten, strict=True)]


def test_a_miss_reads_as_a_person_says_it() -> None:
    """To a tenth; what rounds to nothing is exact, on either side."""
    assert miss_words(-5.2, "in", "small", "big") == "0.2 in small"
    assert miss_words(9.8, "cm", "short", "long") == "1.0 cm long"
    assert {miss_words(mm, "cm", "short", "long") for mm in (0.0, 0.4, -0.4)} == {"exact"}


def test_what_all_share_is_said_once() -> None:
    """A loom or a yarn that every option has; nothing of one option alone."""
    same = [o for o in hats() if (o.loom, o.yarn) == (hats()[0].loom, hats()[0].yarn)][:2]
    assert alike_words(same).startswith(f"All on the {same[0].loom}, in {same[0].yarn}")
    assert alike_words(same[:1]) == ""
    other = same[1].model_copy(update={"loom": "hoop", "yarn": "reed", "balls": 9, "gauge_basis": "estimate"})
    assert alike_words([same[0], other]) == ""


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_a_mitten_takes_two_lines_of_the_table(unit: str) -> None:
    """One of figures, one of how it is worked: what all options share of the thumb is said once, below."""
    options = answer_for("mittens", None, unit, 5, size="adult-woman").report.options
    lines = list(option_lines(options, unit, 80))
    assert len(lines) == 1 + 2 * len(options)
    assert max(map(len, lines)) <= 80
    for o, line in zip(options, lines[2::2], strict=True):
        assert f"thumb {o.pieces[1].pegs} pegs, {o.pieces[1].rows_total} rows" in line
    assert alike_words(options).endswith(", 1 ball, 2 of each, the thumb flat and sewn up.")
    assert {(o.balls, o.pieces[0].copies, o.pieces[1].flat) for o in options} == {(1, 2, True)}


def test_what_only_some_thumbs_are_is_said_of_each() -> None:
    """A thumb in the round beside one that is sewn up, one ball beside two: each line says its own."""
    first, second = answer_for("mittens", None, "in", 5, size="adult-woman").report.options[:2]
    hand, thumb = second.pieces
    other = second.model_copy(update={"balls": 2, "pieces": [hand, thumb.model_copy(update={"flat": False})]})
    assert "sewn up" not in alike_words([first, other])
    assert "ball" not in alike_words([first, other])
    told = [worked_with(o, "in", alike([first, other])) for o in (first, other)]
    assert ["flat and sewn up" in each for each in told] == [True, False]
    assert ["1 ball" in told[0], "2 balls" in told[1]] == [True, True]


def test_the_mark_says_something_however_many_carry_it() -> None:
    """Whoever has none is named with what beats it; where each has one, that is said."""
    assert "Every one has its *" in front_words(marked((5, 100), (6, 90), (7, 80)))
    four_of_five = front_words(marked((5, 100), (6, 90), (7, 80), (7, 95), (8, 70)))
    assert "Not so 4 (2 does better)" in four_of_five
    assert "Not so 2 and 3 (1 does better)" in front_words(marked((5, 80), (6, 90), (7, 85)))
    assert front_words(marked((5, 80))) == ""


def test_the_sentence_is_true_of_real_options() -> None:
    """Each option said to do better is at most equal in likely miss and in yarn."""
    options = hats()
    by = {o.rank: o for o in options}
    for ranks, better in re.findall(r"([\d, and]+) \((\d+) does better\)", front_words(options)):
        for rank in re.findall(r"\d+", ranks):
            worse, best = by[int(rank)], by[int(better)]
            assert not worse.front
            assert best.likely_miss_mm <= worse.likely_miss_mm
            assert best.yarn_m <= worse.yarn_m

"""The one sentence of a clash: twenty-five stories word for word, and the law told is the one that stops most ways."""

import re
from pathlib import Path
from typing import Any

import pytest

from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.report.clash import ClashReport
from solver.why.explain import explain
from solver.why.stops import is_wish
from tests.kits.stories import COT, HALL, LANTERN, ONE, STORIES, kit_at, story


def told(place: Path | dict[str, Any], wish: Wish) -> ClashReport:
    """The explanation of a story."""
    kit = kit_at(place)
    return explain(kit, wish, ask_of(kit, wish))


@pytest.mark.parametrize("name", STORIES)
def test_each_story_is_told_as_a_person_would(name: str) -> None:
    """Word for word, in 45 words at most, and the law that it tells first stops most of the ways that are hers."""
    place, wish, says = STORIES[name]
    report = told(place, wish)
    assert report.says == says
    assert len(report.says.split()) <= 45
    laws = [each for each in report.told if each.stops is not None]
    first = next((each for each in laws if each.rule == report.tells[0]), None)
    if first is None:  # a wish that she has only to let go: then no law is told at all
        assert not {each.rule for each in laws} & {*report.tells}
    else:
        assert first.stops == max(each.stops or 0 for each in laws)


def test_the_giants_hat_by_hand() -> None:
    """16 stitches over 4 in are 4 to the inch: 34 in take 136; two boards of 18, two of 30 (290 mm at 9.5), two ends
    of 6 give 108, which make 27 in. Each is a number of the sentence, and the setup it points at is that one."""
    report = told(HALL, STORIES["a hat for a giant"][1])
    assert (34 * 4, 2 * (18 + 2900 // 95 + 6), 108 / 4) == (136, 108, 27)
    assert report.nearest is not None
    assert (report.nearest.pegs, report.nearest.gauge_basis) == (108, "measured")
    assert report.nearest.girth_mm == pytest.approx(27 * 25.4, abs=0.5)


def test_what_cannot_be_built_is_not_told() -> None:
    """The crown of 104 loops is never said of a frame that has not the pegs, nor more spacers than a bolt takes."""
    for place, wish, _ in list(STORIES.values())[:10]:
        report = told(place, wish)
        assert not any(is_wish(rule) for rule in report.tells[:1])
        assert not {"gather-bulk", "spacers-on-hand"} & {*report.tells}


@pytest.mark.parametrize(("place", "most"), [(HALL, 4), (COT, 2), (LANTERN, 4), (ONE, 0)], ids=lambda x: str(x)[-22:])
def test_no_more_spacers_are_told_than_a_bolt_takes(place: Path, most: int) -> None:
    """Hats, cowls, socks and mittens of 24 to 70 in: a number of spacers in a sentence is one that can be set."""
    kit, seen = kit_at(place), 0
    for item in ("hat", "cowl", "socks", "mittens"):
        for inches in (24, 32, 46, 48, 70):
            wish = story(item, inches)
            try:
                report = explain(kit, wish, ask_of(kit, wish))
            except ValueError:  # there is a setup
                continue
            seen += 1
            told = " ".join([report.says, *(each.says for each in (*report.told, *report.looms))])
            assert all(int(n) <= most for n in re.findall(r"(\d+) spacers?\b", told)), told
    assert seen > 12

"""What stops the search and what it keeps: equal bounds are opened too, a short yarn has an answer of its own."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.search.best_first import cells_of, find, solve
from tests.kits import randomkits
from tests.kits.draws import drawn, some_or_many
from tests.kits.edges import HAT, ONE_WAY, SWATCH
from tests.kits.small import SMALL, kit_with
from tests.solver import against

SEEN: Counter[str] = Counter()


def test_of_two_equal_frames_the_one_that_stands_right_is_found() -> None:
    """The frame named first has to be bolted anew; the other stands as needed and scores the same, to the bound.

    The yarn is free, so both bounds are the score itself: a search that stopped at an equal bound would never open the
    second, and change boards for nothing.
    """
    frame = SMALL["loom"][0]
    stands = {"sides": ["side"], "ends": "end", "pegs_per_side": 24}
    first = {**frame, "name": "a frame", "set_up_as": {**stands, "spacers": 0}}
    second = {**frame, "name": "b frame", "set_up_as": {**stands, "spacers": 2}}
    swatches = [{**SWATCH, "loom": loom["name"]} for loom in (first, second)]
    kit = kit_with(("loom.0", first), ("loom.3", second), ("swatch.0", swatches[0]), ("swatch.1", swatches[1]))
    wish = replace(HAT, pins=replace(ONE_WAY, loom=None), yarn_price=Fraction(0))
    ask = ask_of(kit, wish)
    cells = [cell for cell in cells_of(ask) if solve(ask, cell)]
    assert [cell.ways[0].loom.name for cell in cells] == ["a frame", "b frame"]
    assert cells[0].bound == cells[1].bound == find(ask, 1).options[0].score
    (best,) = find(ask, 1).options
    assert (best.setup.way.loom.name, best.changes) == ("b frame", 0)


def test_short_yarn_is_not_served_by_the_answer_of_rich_yarn() -> None:
    """Two yarns alike but for their stock: the short one has its own answer, with fewer rows, and it lasts."""
    yarn = {**SMALL["yarn"][0], "mass_per_ball": "25 g"}
    rich = {**yarn, "name": "a rich", "length_per_ball": "60 m", "balls": 1}
    short = {**yarn, "name": "b short", "length_per_ball": "50 m", "balls": 1}
    kit = kit_with(("yarn.0", rich), ("yarn.1", short), *(
        (f"swatch.{i}", {**SWATCH, "yarn": each["name"]}) for i, each in enumerate((rich, short))
    ))  # fmt: skip
    wish = replace(HAT, pins=replace(ONE_WAY, yarn=None), length_within_um=20_000, yarn_price=Fraction(0))
    ask = ask_of(kit, wish)
    by_yarn = {o.setup.way.yarn: o for o in find(ask, 5).options}
    assert set(by_yarn) == {"a rich", "b short"}
    assert by_yarn["a rich"].setup.yarn_um > 50_000_000
    assert by_yarn["b short"].setup.yarn_um <= 50_000_000
    alone = find(replace(ask, ways=tuple(w for w in ask.ways if w.yarn == "b short")), 1).options[0]
    assert by_yarn["b short"].score == alone.score
    assert by_yarn["b short"].setup.pieces[0].rows_total < by_yarn["a rich"].setup.pieces[0].rows_total


def _front(case: tuple[dict[str, Any], dict[str, Any]], weight: Fraction, top: int) -> None:
    kit, wish, _, _ = against.told(*case)
    ask = ask_of(kit, replace(wish, risk_weight=weight))
    every = find(ask, 10_000).options
    points = [(o.likely_miss, o.setup.yarn_um) for o in every]
    for shown in find(ask, top).options:
        miss, yarn = shown.likely_miss, shown.setup.yarn_um
        beaten = [p for p in points if p != (miss, yarn) and p[0] <= miss and p[1] <= yarn]
        assert shown.front == (not beaten)
        SEEN["front" if shown.front else "beaten"] += 1
        seen = {(o.likely_miss, o.setup.yarn_um) for o in every[:top]}
        SEEN["beaten by none that is shown"] += bool(beaten) and not seen & set(beaten)


@some_or_many(200, 2_000, long=True)
def test_an_option_of_the_front_is_beaten_by_none_shown_or_not(examples: int) -> None:
    """However little or much the risk weighs: by all options of the ask, of which only the first few are shown."""
    SEEN.clear()
    weights = st.sampled_from([Fraction(0), Fraction(0), Fraction(1, 4), Fraction(1), Fraction(4)])
    cases = randomkits.cases(gauge_of=against.learned_gauge)
    drawn(examples)(given(case=cases, weight=weights, top=st.integers(1, 2))(_front))()
    assert min(SEEN["front"], SEEN["beaten"]) > examples // 50, SEEN
    assert SEEN["beaten by none that is shown"] > examples // 100, SEEN


def test_nothing_shown_is_no_front() -> None:
    """A hat of a metre and a half: no option, and no contender is looked for."""
    assert find(ask_of(kit_with(), Wish("hat", around_um=1_500_000)), 3).options == []

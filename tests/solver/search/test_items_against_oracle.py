"""Every item beside the hats against the brute-force oracle: the same options in the same order, or none."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.units import plain_mm
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.search.best_first import find
from solver.search.option import board_names
from tests import oracle, oracle_items
from tests.kits import randomkits
from tests.solver.against import RIB, kit_from, learned_gauge

Plain = dict[str, Any]
EXAMPLES = 300
SEEN: Counter[str] = Counter()
BODY = {"mittens": "hand", "slippers": "foot", "socks": "foot", "cowl": "neck"}
# Small looms, where thumbs and heels that fit nowhere else may go.
SMALL = [
    {
        "name": "thumb rake",
        "build": "slider",
        "pitch": "8 mm",
        "peg_diameter": "3 mm",
        "pegs_least": 4,
        "pegs_most": 40,
    },
    {"name": "cup ring", "build": "ring", "pitch": "9.5 mm", "peg_diameter": "3 mm", "pegs": 14},
]


@st.composite
def cases(draw: st.DrawFn, item: str) -> tuple[Plain, Plain, Plain]:
    """A kit, the size of an item near what one of its ways would make, as the words of a recipe, and what is priced."""
    kit = draw(randomkits.kits())
    kit["loom"] = [*kit["loom"], *draw(st.sampled_from(([], SMALL[:1], SMALL)))]
    gauge = learned_gauge(kit)
    nothing = oracle.make_ask("hat", 500_000, 200_000)
    ways = list(oracle.ways(kit, nothing, gauge))
    fair = [way for way in ways if not set(oracle.way_breaks(nothing, way)) and randomkits._standing(way.loom)]
    way = draw(st.sampled_from(fair or ways))
    width, height = way.gauge.width_um, way.gauge.height_um
    pegs = draw(st.sampled_from([n for n in randomkits._standing(way.loom) if n % 2 == 0] or [24]))
    if item == "panel":
        pegs = draw(st.integers(6, max(6, pegs // 2 + 1)))
    around = max(40_000, pegs * width + draw(st.integers(-width, width)) // 2)
    long = draw(st.integers(20, 60)) * height + draw(st.integers(-height, height)) // 2
    words: Plain = {"around": around, "long": long, "repeat": draw(st.sampled_from((2, 3, 4)))}
    if item == "panel":
        words["repeat"] = draw(st.sampled_from((1, 2, 3, 4)))
    if item == "mittens":
        words["hand_length"] = max(10_000, long - draw(st.integers(2, 12)) * height)
    if item in ("slippers", "socks"):
        words["foot_length"] = long * draw(st.integers(60, 95)) // 100
        words["heel"] = around * draw(st.sampled_from((130, 150, 158, 165))) // 100
    if item == "cowl" and draw(st.booleans()):
        words["head"] = around * draw(st.sampled_from((130, 155, 160, 165))) // 100
    prices = {"price": draw(st.sampled_from((Fraction(1, 10), Fraction(0), Fraction(1))))}
    prices["risk_weight"] = draw(st.sampled_from((Fraction(1), Fraction(1, 2), Fraction(0))))
    return kit, words, prices


def told(item: str, kit: Plain, words: Plain) -> tuple[Plain, Wish]:
    """The kit with a wearer of just that size, and the Wish."""
    wish = Wish(item, rib=RIB.get(words["repeat"]), unit="cm")
    if item in BODY:
        own = {
            name: f"{plain_mm(words[name])} mm"
            for name in ("hand_length", "foot_length", "heel", "head")
            if name in words
        }
        kit = kit | {"wearer": [{"name": "knitter", BODY[item]: f"{plain_mm(words['around'])} mm", **own}]}
        return kit, replace(wish, wearer="knitter", ease_um=0, long_um=words["long"])
    if item == "panel":
        return kit, replace(wish, wide_um=words["around"], long_um=words["long"])
    wish = replace(wish, around_um=words["around"], rib=None)
    return kit, replace(wish, long_um=words["long"]) if item == "bolster" else wish


def shape(option: Any) -> tuple[Any, ...]:
    """What the solver chose."""
    setup = option.setup
    pieces = [(p.pegs, p.rows_total, p.rows_band) for p in setup.pieces]
    return ([w.key for w in option.cell.ways], pieces, option.changes, board_names(setup), setup.yarn_um)


def oracle_shape(found: oracle_items.Found) -> tuple[Any, ...]:
    """What the oracle chose."""
    pieces = [(c.pegs, c.total, c.band) for c in found.choices]
    boards = tuple((*c.frame.sides, *([c.frame.end] if c.frame.end else [])) for c in found.choices)
    return (found.keys, pieces, sum(c.changes for c in found.choices), boards, found.yarn_um)


def agree(item: str, case: tuple[Plain, Plain, Plain]) -> None:
    """The solver's options are the oracle's."""
    plain, words, prices = case
    kit, wish = told(item, plain, words)
    parts = oracle_items.RECIPES[item](**words)
    if min(p.length_um for p in parts) <= 0:
        return
    expected = oracle_items.best(plain, oracle.Ask(item, parts, **prices), 10, learned_gauge(plain))
    wish = replace(wish, yarn_price=prices["price"], risk_weight=prices["risk_weight"])
    ask = ask_of(kit_from(kit), wish)
    found = find(ask, 10)
    SEEN["found" if expected else "none"] += 1
    SEEN["moved"] += any(len(set(e.keys)) > 1 for e in expected)
    assert found.complete
    assert [Fraction(o.score, ask.costs.scale) for o in found.options] == [e.score for e in expected]
    assert [shape(o) for o in found.options] == [oracle_shape(e) for e in expected]


@pytest.mark.parametrize("item", list(oracle_items.RECIPES))
def test_every_random_ask_has_the_oracles_options(item: str) -> None:
    """Random kits and sizes for each item: same scores, setups, boards and yarn, in the same order; both outcomes."""

    @settings(
        max_examples=EXAMPLES, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(case=cases(item))
    def each(case: tuple[Plain, Plain, Plain]) -> None:
        agree(item, case)

    SEEN.clear()
    each()
    assert SEEN["found"] > EXAMPLES // 8, SEEN
    assert SEEN["none"] > EXAMPLES // 20, SEEN
    if item == "mittens":
        assert SEEN["moved"] > 0, SEEN

"""Every item beside the hats against the brute-force oracle: the same options in the same order, or none."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given

from solver.asking.ask_of import ask_of
from solver.search.best_first import find
from solver.search.option import board_names
from tests import oracle, oracle_items
from tests.kits.draws import drawn, some_or_parts
from tests.kits.item_cases import cases, told
from tests.solver.against import kit_from, learned_gauge

Plain = dict[str, Any]
SEEN: Counter[str] = Counter()


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


@some_or_parts(60, 1_750, parts=7)
@pytest.mark.parametrize("item", list(oracle_items.RECIPES))
def test_every_random_ask_has_the_oracles_options(item: str, examples: int, part: int) -> None:
    """Random kits and sizes for each item: same scores, setups, boards and yarn, in the same order; both outcomes."""

    @drawn(examples, part and f"{item} {part}")
    @given(case=cases(item))
    def each(case: tuple[Plain, Plain, Plain]) -> None:
        agree(item, case)

    SEEN.clear()
    each()
    assert SEEN["found"] > examples // 8, SEEN
    assert SEEN["none"] > examples // 20, SEEN
    if item == "mittens":
        assert SEEN["moved"] > 0, SEEN

"""Why not, for items of several pieces: explained just when nothing is found, and every repair real by the oracle."""

from collections import Counter
from typing import Any

import pytest
from hypothesis import given

from solver.asking.ask_of import ask_of
from solver.search.best_first import find
from solver.why.explain import diagnose, explain
from solver.why.repair import repairs
from tests import oracle, oracle_items
from tests.kits.draws import drawn, some_or_many
from tests.kits.item_cases import cases, told
from tests.kits.whynot_cases import changed
from tests.kits.whynot_items import exists
from tests.solver.against import kit_from, learned_gauge

SEEN: Counter[str] = Counter()
ITEMS = ("mittens", "slippers", "socks", "cowl", "panel", "ball")
Plain = dict[str, Any]


def _judge(item: str, case: tuple[Plain, Plain, Plain]) -> None:
    plain, words, _ = case
    tables, wish = told(item, plain, words)
    parts = oracle_items.RECIPES[item](**words)
    if min(p.length_um for p in parts) <= 0:
        return
    kit = kit_from(tables)
    ask = ask_of(kit, wish)
    found = diagnose(kit, wish)
    sets = found.every_set
    none = not find(ask, 1).options
    SEEN["none" if none else "found"] += 1
    assert none == (sets.sets != [0])
    if not none:
        return
    report = explain(kit, wish, ask)
    rules = found.proven.rules
    assert [each.rule for each in report.clash] == list(rules)
    _check_clash(plain, oracle.Ask(item, parts), rules)
    fixes = repairs(kit, wish, found.ask, found.every, sets)
    for fix in fixes:
        SEEN["repairs"] += 1
        SEEN["moved"] += len({w.key for w in fix.option.cell.ways}) > 1
        SEEN["flat"] += any(piece.ask.seam for piece in fix.option.setup.pieces)
        judged, asked = changed(plain, oracle.Ask(item, parts), fix)
        assert oracle_items.best(judged, asked, 1, learned_gauge(plain)), (fix.rules, fix.gives)


def _check_clash(plain: Plain, ask: oracle.Ask, rules: tuple[str, ...]) -> None:
    """Unsatisfiable, and minimal: no rule of it can be left out. (That none is smaller is tested of single pieces.)"""
    gauge = learned_gauge(plain)
    SEEN[f"clash of {len(rules)}"] += 1
    assert not exists(plain, ask, gauge, rules), rules
    for rule in rules:
        assert exists(plain, ask, gauge, {*rules} - {rule}), (rules, rule)


@some_or_many(40, 300, long=True)
@pytest.mark.parametrize("item", ITEMS)
def test_each_item_is_explained_and_its_repairs_are_real(item: str, examples: int) -> None:
    """Random kits and sizes: a clash where the search finds nothing, and repairs that the oracle bears out."""

    @drawn(examples)
    @given(case=cases(item))
    def each(case: tuple[Plain, Plain, Plain]) -> None:
        _judge(item, case)

    SEEN.clear()
    each()
    assert SEEN["none"] >= max(1, examples // 15), SEEN
    assert SEEN["repairs"] >= max(1, examples // 15), SEEN
    assert SEEN["clash of 2"] + SEEN["clash of 3"] + SEEN["clash of 4"] >= 1, SEEN
    if item == "mittens":
        assert SEEN["flat"] > 0, SEEN
        assert SEEN["moved"] > 0 or examples < 300, SEEN

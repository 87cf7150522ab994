"""Clashes and repairs of random asks without a setup, judged by a brute-force oracle that shares nothing with them."""

from collections import Counter
from collections.abc import Callable
from itertools import combinations
from typing import Any

from hypothesis import given

from solver.asking.ask_of import ask_of
from solver.report.clash import ClashReport
from solver.why.explain import Diagnosis, diagnose, explain
from solver.why.repair import Repair, repairs
from solver.why.violations import Minimal, rules_of
from tests import oracle
from tests.kits import randomkits
from tests.kits.draws import drawn, some_or_many
from tests.kits.whynot_cases import changed, exists, one_less, only, without
from tests.solver import against

SEEN: Counter[str] = Counter()
Plain = dict[str, Any]
Gauge = Callable[..., Any] | None


def _each_case(case: tuple[Plain, Plain]) -> None:
    plain, words = case
    kit, wish, ask, gauge = against.told(plain, words)
    found = diagnose(kit, wish)
    sets = found.every_set
    there_is = oracle.exists(plain, ask, gauge)
    SEEN["found" if there_is else "none"] += 1
    assert there_is == (sets.sets == [0]) == exists(plain, ask, gauge)
    if there_is:
        return
    _check_clash(plain, ask, gauge, found, sets)
    _check_words(explain(kit, wish, ask_of(kit, wish)))
    for fix in repairs(kit, wish, found.ask, found.every, sets):
        SEEN["repairs"] += 1
        for rule in fix.rules:
            SEEN[rule] += 1
        _check_repair(plain, ask, gauge, fix)


def _check_clash(plain: Plain, ask: oracle.Ask, gauge: Gauge, found: Diagnosis, sets: Minimal) -> None:
    """Unsatisfiable, minimal, and none smaller: every real way out must be met, and so many rules cannot do it."""
    rules = found.proven.rules
    SEEN[f"clash of {len(rules)}"] += 1
    assert not exists(plain, only(ask, rules), gauge)
    for rule in rules:
        assert exists(plain, only(ask, set(rules) - {rule}), gauge)
    ways_out = [set(rules_of(mask)) for mask in sets]
    for way_out in ways_out:
        assert exists(plain, without(ask, way_out), gauge)
    named = sorted(set().union(*ways_out))
    assert not any(all(set(fewer) & way_out for way_out in ways_out) for fewer in combinations(named, len(rules) - 1))


def _check_words(report: ClashReport) -> None:
    """Every rule and every repair is said, whatever the numbers are."""
    says = [each.says for each in (*report.clash, *report.looms, *report.repairs)]
    assert all(says)
    assert not any(word in text for text in says for word in ("None", "{", " 0.0 cm smaller", " 0.0 cm larger"))
    assert all(each.need != each.have for each in report.clash)


def _check_repair(plain: Plain, ask: oracle.Ask, gauge: Gauge, fix: Repair) -> None:
    """Real with just these gives, and nothing to be had one step below any of them."""
    assert all(give > 0 for give in fix.gives)
    kit, asked = changed(plain, ask, fix)
    assert exists(kit, asked, gauge), fix.rules
    for rule in fix.rules:
        for kit, asked in one_less(plain, ask, fix, rule):
            SEEN["one step below"] += 1
            assert not exists(kit, asked, gauge), (fix.rules, rule)


@some_or_many(300, 2_300)
def test_clashes_and_repairs_hold_against_the_oracle(examples: int) -> None:
    """Random kits and asks, half of them without a setup; clashes of many sizes, repairs of many kinds."""
    SEEN.clear()
    drawn(examples)(given(case=randomkits.cases(gauge_of=against.learned_gauge))(_each_case))()
    assert min(SEEN["none"], SEEN["found"]) > examples * 4 // 10, SEEN
    assert min(SEEN[f"clash of {n}"] for n in (1, 2, 3)) > examples // 50, SEEN
    assert SEEN["clash of 4"] + SEEN["clash of 5"] > examples // 200, SEEN
    assert SEEN["repairs"] > examples * 3 // 10, SEEN
    often = ("boards-on-hand", "whole-repeats", "band-depth", "girth-within", "length-within", "spacers-on-hand")
    assert min(SEEN[rule] for rule in often) >= max(1, examples // 300), SEEN
    seldom = ("yarn-on-hand", "gauge-measured")
    assert min(SEEN[rule] for rule in seldom) >= max(1, examples // 400), SEEN
    assert sum(SEEN[f"pin-{what}"] for what in ("loom", "yarn", "pegs", "spacers", "strands")) > examples // 150, SEEN

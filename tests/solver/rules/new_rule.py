"""Adds the rule that DEVELOPERS.md prints to a running program, then judges search and explanation by brute force.

A process of its own, for RULES is read by many modules as they are loaded: `python -m tests.solver.rules.new_rule 120`.
"""

import json
import sys
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from textwrap import dedent
from types import ModuleType
from typing import Any

from hypothesis import given

import solver.rules
from tests.command import ROOT

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Walk-through: add a rule")[1]
RULE_FILE, WORDS = (dedent(part.split("```")[0]) for part in PAGE.split("```python\n")[1:3])
NAME = "fewest-pegs"

module = ModuleType("solver.rules.fewest_pegs")
exec(compile(RULE_FILE, "DEVELOPERS.md", "exec"), vars(module))
solver.rules.RULES = (*solver.rules.RULES[:-5], module.RULE, *solver.rules.RULES[-5:])  # type: ignore[assignment]

from solver.asking.ask_of import ask_of  # noqa: E402
from solver.search.best_first import find  # noqa: E402
from solver.why.explain import Diagnosis, diagnose  # noqa: E402
from solver.why.violations import rules_of  # noqa: E402
from solver.why.words import phrases, sentences  # noqa: E402
from tests import oracle  # noqa: E402
from tests.kits import randomkits  # noqa: E402
from tests.kits.draws import drawn  # noqa: E402
from tests.kits.whynot_cases import exists, only, without  # noqa: E402
from tests.solver import against  # noqa: E402

words = {"Case": phrases.Case, "Said": phrases.Said}
exec(compile(WORDS, "DEVELOPERS.md", "exec"), words)
sentences.SAYS[NAME] = words["fewest_pegs"]

FEWEST = [30]  # the law in the oracle's own words, with a number that the tests below turn down
oracle.RULES = (*oracle.RULES[:-5], NAME, *oracle.RULES[-5:])  # type: ignore[assignment]
peg_breaks = oracle.peg_breaks


def with_the_new_law(ask: oracle.Ask, piece: oracle.Piece, way: oracle.Way, pegs: int) -> Iterator[str]:
    """What a number of pegs breaks, too few of them too."""
    yield from peg_breaks(ask, piece, way, pegs)
    if pegs < FEWEST[0]:
        yield NAME


oracle.peg_breaks = with_the_new_law
SEEN: Counter[str] = Counter()


def each_case(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
    """One random ask: found as brute force finds; else a clash that is real, minimal and smallest, rightly told."""
    plain, asked = case
    kit, wish, ask, gauge = against.told(plain, asked)
    mine = ask_of(kit, wish)
    expected = [found.score for found in oracle.best(plain, ask, 5, gauge)]
    assert [Fraction(o.score, mine.costs.scale) for o in find(mine, 5).options] == expected
    SEEN["found" if expected else "none"] += 1
    if expected:
        return
    found = diagnose(kit, wish)
    ways_out = [set(rules_of(mask)) for mask in found.every_set]
    rules = found.proven.rules
    assert not exists(plain, only(ask, rules), gauge)
    assert all(exists(plain, without(ask, way_out), gauge) for way_out in ways_out)
    named = sorted(set().union(*ways_out))
    assert not any(all(set(fewer) & out for out in ways_out) for fewer in combinations(named, len(rules) - 1))
    if NAME in rules:
        check_numbers(found, rules, lambda held: exists(plain, only(ask, held), gauge))


def check_numbers(found: Diagnosis, rules: tuple[str, ...], can: Any) -> None:
    """It says what is needed and the most that there is: brute force finds so many pegs, and not one more."""
    clash = found.proven
    alone = NAME in clash.alone()
    said = sentences.said(found.wish, clash.reason(NAME))
    held = oracle.RULES if alone else rules
    most = max((n for n in range(1, FEWEST[0]) if possible(n, held, can)), default=0)
    assert (said.need, said.have) == (FEWEST[0], most)
    assert f"{FEWEST[0]} pegs" in said.says
    assert said.says.endswith(f" {most}")
    SEEN["said"] += 1
    SEEN["named alone" if alone else "named with others"] += 1


def possible(pegs: int, held: Any, can: Any) -> bool:
    """Whether some setup has so many pegs or more, with some rules held."""
    before, FEWEST[0] = FEWEST[0], pegs
    try:
        return bool(can(held))
    finally:
        FEWEST[0] = before


if __name__ == "__main__":
    drawn(int(sys.argv[1]))(given(case=randomkits.cases(gauge_of=against.learned_gauge))(each_case))()
    print(json.dumps(SEEN))

"""The plain sweep of a lone piece against the cells' own solver: the same pegs on every way, at the same scores."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from catalog.errors import InputError
from catalog.item import item, item_names
from catalog.kit import Kit, built_in_kit, load_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.many.line import Line
from solver.many.lines import lines_of, sound_ways, useful_lines, worth_keeping
from solver.many.shelf import shelf_of
from solver.model.ask import Ask
from solver.search.best_first import Twins, cells_of, find, solve
from tests.command import ROOT
from tests.kits import randomkits
from tests.solver import against

SEEN: Counter[str] = Counter()


def _same(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
    kit, wish, _, _ = against.told(*case)
    ask = ask_of(kit, wish)
    for each in (ask, ask.without("yarn-on-hand")):
        twins: Twins = {}
        solved = [o for cell in cells_of(each, all_pegs=True) if (o := solve(each, cell, None, twins))]
        expected = {(o.setup.way.key, o.setup.pieces[0].pegs): o.score for o in solved}
        lines = lines_of(each, sound_ways(each))
        assert {(line.way.key, line.pieces[0].pegs): line.score for line in lines} == expected
        SEEN["lines"] += len(lines)
        SEEN["none"] += not lines
        _kept_rightly(kit, each, lines)


def _kept_rightly(kit: Kit, each: Ask, lines: list[Line]) -> None:
    """What is dropped is beaten by something kept of the same loom and yarn, and nothing is kept twice."""
    shelf = replace(shelf_of(kit, turns=1), buy=True)
    kept = worth_keeping(lines, shelf)
    for other in (shelf, replace(shelf, buy=False), replace(shelf, turns=None)):
        useful, some = useful_lines(each, sound_ways(each), other)
        assert [line.order for line in useful] == [line.order for line in worth_keeping(lines, other)]
        assert some == bool(useful) == bool(lines)
    assert len({(line.way.key, line.pieces[0].pegs) for line in kept}) == len(kept)
    SEEN["dropped"] += len(lines) - len(kept)
    for line in lines:
        free = shelf.unlimited
        same = [k for k in kept if k.way.loom.name == line.way.loom.name and k.way.yarn in {line.way.yarn, *free}]
        extra = {k.order: 3000 * (bool(k.builds) and k.builds != line.builds) for k in same}
        assert any(
            k.chance >= line.chance
            and (k.yarn_um <= line.yarn_um + 999 or k.way.yarn in free)
            and k.score_um + extra[k.order] <= line.score_um
            for k in same
        )


def _search(examples: int) -> None:
    @settings(
        max_examples=examples, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(case=randomkits.cases(gauge_of=against.learned_gauge))
    def each(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
        _same(case)

    each()


def test_the_sweep_and_the_solver_agree() -> None:
    """150 random kits and asks, with the yarn on hand and with any amount; both outcomes occur, lines are dropped."""
    SEEN.clear()
    _search(150)
    assert SEEN["lines"] > 300
    assert SEEN["none"] > 5
    assert SEEN["dropped"] > 50


@pytest.mark.slow
@pytest.mark.long
def test_the_sweep_and_the_solver_agree_on_many() -> None:
    """The same on 2,000."""
    _search(2_000)


@pytest.mark.parametrize("name", [n for n in item_names() if item(n).body])
def test_the_best_line_of_every_item_is_what_find_finds(name: str) -> None:
    """For a grown-up and a child, on two kits: several pieces, elsewhere or flat, are no other than those of find."""
    for kit in (built_in_kit(), load_kit(ROOT / "examples" / "well-house-class" / "kit.toml")):
        for size in ("adult-woman", "6-years"):
            try:
                ask = ask_of(kit, Wish(name, size=size))
            except InputError:  # no table reaches so far
                continue
            found = find(ask, 1).options
            lines = lines_of(ask, sound_ways(ask))
            assert sorted(line.score for line in lines)[:1] == [o.score for o in found]
            assert bool(lines) == bool(found)
            SEEN["items"] += bool(lines)

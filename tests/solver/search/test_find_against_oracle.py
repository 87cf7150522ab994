"""The search against the brute-force oracle: found exactly when it finds, and the same scores in the same order."""

from collections import Counter
from fractions import Fraction
from typing import Any

from hypothesis import given

from solver.asking.ask_of import ask_of
from solver.search.best_first import find
from tests import oracle
from tests.kits import randomkits
from tests.kits.draws import drawn, some_or_parts
from tests.solver import against

SEEN: Counter[str] = Counter()


def _each_case(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
    plain, words = case
    kit, wish, ask, gauge = against.told(plain, words)
    found = find(ask_of(kit, wish), 20)
    expected = oracle.best(plain, ask, 20, gauge)
    SEEN["found" if expected else "none"] += 1
    assert found.complete
    scale = ask_of(kit, wish).costs.scale
    assert [Fraction(o.score, scale) for o in found.options] == [e.score for e in expected]
    assert [_shape(o) for o in found.options] == [_oracle_shape(e) for e in expected]


def _shape(option: Any) -> tuple[Any, ...]:
    p, way = option.setup.pieces[0], option.setup.way
    sides = tuple(b.name for b, c in zip(way.loom.boards, p.sides, strict=True) for _ in range(c))
    end = next((b.name for b, c in zip(way.loom.ends, p.ends, strict=True) if c), "")
    return (*way.key, p.pegs, p.rows_total, p.rows_band, option.changes, sides, end, option.setup.yarn_um)


def _oracle_shape(e: oracle.Found) -> tuple[Any, ...]:
    sides = tuple(e.side_boards)
    return (
        e.loom,
        e.spacers,
        e.yarn,
        e.strands,
        e.pegs,
        e.rows_total,
        e.rows_band,
        e.changes,
        sides,
        e.end_board,
        e.yarn_um,
    )


@some_or_parts(300, 6_000, parts=24, slow=2_000)
def test_every_random_ask_has_the_oracles_options(examples: int, part: int) -> None:
    """Random kits and asks: same scores, same setups, in the same order; both outcomes occur often."""
    SEEN.clear()
    drawn(examples, part)(given(case=randomkits.cases(gauge_of=against.learned_gauge))(_each_case))()
    assert SEEN["found"] > examples // 4, SEEN
    assert SEEN["none"] > examples // 4, SEEN

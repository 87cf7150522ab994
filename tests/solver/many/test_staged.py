"""Each stage of a small batch against every plan there is, over every way and every peg count."""

from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings

from catalog.kit import Frame
from solver.many.gather import Asks, gather
from solver.many.shelf import shelf_of
from solver.many.staged import staged
from tests.solver.many import batches

SEEN: Counter[str] = Counter()


def _same(batch: batches.Batch) -> None:
    expected = batches.optimum(batch)
    if expected is None:
        SEEN["too many"] += 1
        return
    kit = batch.kit
    shelf = shelf_of(kit, batch.turns, batch.buy)
    groups = gather(Asks(kit), batch.wanted(), shelf).groups
    stands = frozenset(loom.name for loom in kit.loom if isinstance(loom, Frame) and loom.set_up_as)
    _, stages = staged(groups, shelf, stands)
    assert all(stage.value == stage.bound for stage in stages)
    reached = [stage.value for stage in stages]
    assert reached == [*expected.chances, *([expected.balls] if batch.buy else []), expected.score_um]
    SEEN["served"] += any(expected.chances)
    SEEN["bought"] += expected.balls > 0
    SEEN["two priorities"] += len(expected.chances) > 1
    SEEN["rebuilt"] += expected.score_um % 1000 != 0


def _search(examples: int) -> None:
    @settings(
        max_examples=examples, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(batch=batches.batches())
    def each(batch: batches.Batch) -> None:
        _same(batch)

    each()


def test_each_stage_is_the_best_of_every_plan() -> None:
    """60 random batches, with turns, priorities and balls to buy."""
    SEEN.clear()
    _search(60)
    assert SEEN["served"] > 20


@pytest.mark.slow
@pytest.mark.long
def test_each_stage_is_the_best_of_every_plan_of_many() -> None:
    """500 random batches."""
    SEEN.clear()
    _search(500)
    assert SEEN["bought"] > 20
    assert SEEN["two priorities"] > 20

"""The run of entries: every kind of step is called by words of the trade, whichever ends a piece may have."""

from __future__ import annotations

from typing import get_args

import pytest

from solver.steps.step import Rows, ShortRows, Step
from solver.web.run import TITLES, run_of
from tests.kits.sheetplans import plan_for

KINDS = {kind.__name__ for kind in get_args(Step)}


@pytest.mark.parametrize("name", ["mittens", "slippers", "cowl", "toy", "socks"])
def test_no_entry_bears_a_name_of_the_code(name: str) -> None:
    """A seam and an edge sewn off did: what had no words yet was called as its class is."""
    titles = {entry.title for entry in run_of(plan_for(name))}
    assert not titles & KINDS


def test_every_kind_of_step_has_words() -> None:
    """A kind that is new here fails by name, whether or not a recipe has it."""
    assert {*TITLES, Rows, ShortRows} == set(get_args(Step))

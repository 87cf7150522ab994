"""The neutral steps of a sheet, followed loop by loop on a simulated ring of pegs for every item and rib."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from catalog.item import item, kinds
from solver.plan import OptionPlan
from solver.steps import PieceSteps, Rows, plan_steps
from tests.loomsim import Loom, Wrong
from tests.sheetplans import option_for

RIBS = sorted(k.rib for k in kinds().values() if k.rib)
TUBES = ("hat", "hat-brim-first", "headband")  # openings, short rows and flat pieces have no steps yet
CASES = [(name, rib) for name in TUBES for rib in (RIBS if item(name).rib else [None])]


@cache
def option(name: str, rib: str | None) -> OptionPlan:
    """The best option for a middling size of an item, from the built-in kit."""
    return option_for(name, rib=rib)


def pieces() -> list[Any]:
    """Every piece of every item and rib."""
    found = []
    for name, rib in CASES:
        made = option(name, rib)
        for steps, plan in zip(plan_steps(made), made.pieces, strict=True):
            found.append(pytest.param(made, plan, steps, id=f"{name}-{rib or 'plain'}-{plan.name}"))
    return found


@pytest.mark.parametrize(("made", "plan", "steps"), pieces())
def test_the_steps_knit_the_piece_of_the_plan(made: OptionPlan, plan: Any, steps: PieceSteps) -> None:
    """Followed loop by loop: no peg is knit over with one loop, and rows, pegs and pattern are those of the plan."""
    loom = Loom(plan.pegs).follow(steps.steps).finish()
    assert len(loom.rows) == plan.rows_total == sum(s.rows for s in plan.sections)
    assert sum(len(row) for row in loom.rows) == sum(s.stitches for s in plan.sections)
    assert sum("P" in row for row in loom.rows) == (plan.rows_band if made.rib else 0)
    assert (steps.copies, steps.pegs, steps.loom) == (plan.copies, plan.pegs, plan.loom)


@pytest.mark.parametrize(("made", "plan", "steps"), pieces())
def test_every_step_is_needed(made: OptionPlan, plan: Any, steps: PieceSteps) -> None:
    """Whichever one step is dropped, the simulator objects, or the rows no longer equal the plan."""
    for i, dropped in enumerate(steps.steps):
        left = (*steps.steps[:i], *steps.steps[i + 1 :])
        try:
            rows = len(Loom(plan.pegs).follow(left).finish().rows)
        except Wrong:
            continue
        assert rows != plan.rows_total, f"without {type(dropped).__name__} nothing was amiss"


@pytest.mark.parametrize(("made", "plan", "steps"), pieces())
def test_checks_measure_what_the_plan_says(made: OptionPlan, plan: Any, steps: PieceSteps) -> None:
    """A check after n rows expects n row heights; the last one, after the last row, the finished length."""
    loom = Loom(plan.pegs).follow(steps.steps)
    assert loom.checks
    assert all(row == rows and length == rows * made.row_height_um for row, rows, length in loom.checks)
    assert loom.checks[-1][2] == round(plan.length_mm * 1000)


def test_the_simulator_objects_to_a_rib_that_does_not_close() -> None:
    """2x1 rib on pegs that are no multiple of 3: the round does not meet itself."""
    steps = next(iter(plan_steps(option("headband", "2x2"))))
    broken = [replace(s, pattern="KKKKP") if isinstance(s, Rows) else s for s in steps.steps]
    with pytest.raises(Wrong, match="closes"):
        Loom(steps.pegs).follow(broken)


def test_a_hat_by_hand() -> None:
    """Crown first: every other peg, every peg, knit over the first half; then plain, rib, off, shut at the crown."""
    made = option("hat", "1x1")
    n, plain, band = made.pegs, made.rows_plain, made.rows_band
    names = [type(s).__name__ for s in plan_steps(made)[0].steps]
    assert names == ["Tail", "Wrap", "Wrap", "KnitOver", "Rows", "Rows", "BindOff", "Cut", "Through", "LiftOff",
                     "PullShut", "Secure", "Secure"]  # fmt: skip
    _, half, whole, over, rows, rib, *_ = plan_steps(made)[0].steps
    assert half.pegs == range(1, n + 1, 2) == over.pegs  # type: ignore[union-attr]
    assert whole.pegs == range(1, n + 1)  # type: ignore[union-attr]
    assert over.resting == range(2, n + 1, 2)  # type: ignore[union-attr]
    assert isinstance(rows, Rows)
    assert isinstance(rib, Rows)
    assert (rows.first, rows.last, rib.first, rib.last) == (1, plain, plain + 1, plain + band)

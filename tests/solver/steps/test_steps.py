"""The neutral steps of a sheet, followed loop by loop on simulated pegs for every item and rib."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from catalog.item import kinds
from catalog.units import half_up
from solver.model.ask import Pins
from solver.model.setup import narrowest, short_rows
from solver.plan.saved import SavedPlan
from solver.report.find import PiecePlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import BindOff, KnitOver, Opening, PieceSteps, Rows, Sew, ShortRows, Wrap
from tests.kits.sheetplans import CASES, plan_for
from tests.solver.steps.loomsim import Loom, Loop, Wrong

MORE: list[tuple[str, str | None, dict[str, Any]]] = [
    ("socks", "1x1", {"around_um": 139_700}),  # the small recipe
    ("mittens", "1x1", {"size": "2-years"}),  # a thumb worked flat on an odd number of pegs, and on an even one
    ("mittens", "1x1", {"size": "6-years", "pins": Pins(loom="long rake", yarn="moss wool", strands=1)}),
]
EVERY = [pytest.param(name, rib, {}, id=f"{name}-{rib or 'plain'}") for name, rib in CASES]
every_item = pytest.mark.parametrize(("name", "rib", "more"), [*EVERY, *MORE])
Planned = Iterator[tuple[SavedPlan, PiecePlan, PieceSteps]]


def pieces(name: str, rib: str | None, more: dict[str, Any]) -> Planned:
    """Every piece of an item with its plan and its steps."""
    plan = plan_for(name, rib, **more)
    for steps, piece in zip(plan_steps(plan), plan.option.pieces, strict=True):
        yield plan, piece, steps


def loom_for(plan: SavedPlan, steps: PieceSteps) -> Loom:
    """An empty loom; the openings of the pieces made before lie ready."""
    opened = {p.name: len(s.pegs) for p in plan_steps(plan) for s in p.steps if isinstance(s, Opening)}
    return Loom(steps.pegs, steps.flat, opened)


@every_item
def test_the_steps_knit_the_piece_of_the_plan(name: str, rib: str | None, more: dict[str, Any]) -> None:
    """Followed loop by loop: no peg is knit over with one loop, and rows, pegs and pattern are those of the plan."""
    for plan, piece, steps in pieces(name, rib, more):
        loom = loom_for(plan, steps).follow(steps.steps).finish()
        short = [s for s in piece.sections if kinds()[s.kind].short]
        assert len(loom.rows) == piece.rows_total == sum(s.rows for s in piece.sections) - sum(s.rows for s in short)
        assert len(loom.short) == sum(s.rows for s in short)
        assert sum(loom.short) == sum(s.stitches for s in short)
        assert sum(len(r) for r in loom.rows) + sum(loom.short) == sum(s.stitches for s in piece.sections)
        ribbed = sum(s.rows for s in piece.sections if "P" in kinds()[s.kind].pattern)
        assert sum("P" in row for row in loom.rows) == ribbed
        assert (steps.copies, steps.pegs, steps.loom) == (piece.copies, piece.pegs, piece.loom)


@every_item
def test_every_step_is_needed(name: str, rib: str | None, more: dict[str, Any]) -> None:
    """Whichever one step is dropped, the simulator objects, or the piece is no longer that of the plan."""
    for plan, _, steps in pieces(name, rib, more):
        whole = loom_for(plan, steps).follow(steps.steps).finish()
        for i, dropped in enumerate(steps.steps):
            left = (*steps.steps[:i], *steps.steps[i + 1 :])
            try:
                loom = loom_for(plan, steps).follow(left).finish()
            except Wrong:
                continue
            same = (loom.rows, loom.short, loom.scrap) == (whole.rows, whole.short, whole.scrap)
            assert not same, f"without {type(dropped).__name__} nothing was amiss"


@every_item
def test_checks_measure_what_the_plan_says(name: str, rib: str | None, more: dict[str, Any]) -> None:
    """A check of n rows expects n row heights; the last one, after the last row, the finished length."""
    for plan, piece, steps in pieces(name, rib, more):
        checks = loom_for(plan, steps).follow(steps.steps).checks
        assert checks
        assert all(length == rows * plan.ways[plan.place(piece.name)].gauge.height_um for _, rows, length in checks)
        assert checks[-1] == (piece.rows_total, piece.rows_total, half_up(piece.length_mm * 1000))


def test_the_gauge_is_checked_early_and_in_plain() -> None:
    """Ten rows into the plain part, for a rib draws in; in the band itself only where there is nothing plain."""
    early = {name: [r.early for p in plan_steps(plan_for(name)) for r in p.rows if r.early]
             for name in ("hat", "hat-brim-first", "headband", "mittens")}  # fmt: skip
    assert [(c.row, c.rows, c.ribbed) for c in early["hat"]] == [(10, 10, False)]
    assert [(c.row, c.rows, c.ribbed) for c in early["hat-brim-first"]] == [(20, 10, False)]
    assert [(c.row, c.rows, c.ribbed) for c in early["headband"]] == [(10, 10, True)]
    assert len(early["mittens"]) == 1  # the hand, not the thumb again


def test_the_simulator_objects_to_a_rib_that_does_not_close() -> None:
    """A repeat of 5 pegs on 84: the round does not meet itself."""
    steps = plan_steps(plan_for("headband", "2x2"))[0]
    broken = [replace(s, pattern="KKKKP") if isinstance(s, Rows) else s for s in steps.steps]
    with pytest.raises(Wrong, match="closes"):
        Loom(steps.pegs).follow(broken)


def test_the_simulator_objects_to_a_peg_knit_over_with_one_loop() -> None:
    """Knitting over every peg of a drawn start would drop half of them."""
    steps = plan_steps(plan_for("hat"))[0]
    pegs = range(1, steps.pegs + 1)
    broken = [KnitOver(pegs, range(0)) if isinstance(s, KnitOver) else s for s in steps.steps]
    with pytest.raises(Wrong, match="peg 2 is knit over with 1 loops"):
        Loom(steps.pegs).follow(broken)


def test_a_hat_by_hand() -> None:
    """Crown first: every other peg, every peg, knit over the first half; then plain, rib, off, shut at the crown."""
    plan = plan_for("hat", "1x1")
    n, plain, band = plan.option.pegs, plan.option.rows_plain, plan.option.rows_band
    steps = plan_steps(plan)[0].steps
    assert [type(s).__name__ for s in steps] == [
        "Tail", "Wrap", "Wrap", "KnitOver", "Rows", "Rows", "Cut", "Sew", "PullShut", "Secure", "Secure",
    ]  # fmt: skip
    assert steps[1:4] == (
        Wrap(range(1, n + 1, 2), woven=True),
        Wrap(range(1, n + 1)),
        KnitOver(range(1, n + 1, 2), range(2, n + 1, 2)),
    )
    rows, rib = plan_steps(plan)[0].rows
    assert (rows.first, rows.last, rib.first, rib.last) == (1, plain, plain + 1, plain + band)


def sewn_on(pegs: int, flat: bool = False) -> Loom:
    """A loom after one row, its yarn cut at the last peg."""
    loom = Loom(pegs, flat=flat, tail=True, cut=True, at=pegs)
    loom.on = {peg: [Loop("row 1")] for peg in range(1, pegs + 1)}
    loom.rows.append("K" * pegs)
    return loom


def test_a_sewn_edge_holds_every_loop() -> None:
    """Three strands each, from where the yarn hangs, closed to its beginning in the round; flat it ends at the last."""
    loom = sewn_on(12)
    loom.do_Sew(Sew(range(1, 13), round=True))
    assert not any(loom.on.values())
    assert loom.bound == list(range(1, 13))
    flat = sewn_on(12, flat=True)
    flat.do_Sew(Sew(range(12, 0, -1), round=False))
    assert flat.bound == list(range(12, 0, -1))


@pytest.mark.parametrize(
    ("step", "words"),
    [
        (Sew(range(1, 12), round=True), "sews all pegs off"),
        (Sew(range(1, 13), round=False), "sewn to its beginning"),
        (Sew(range(6, 18), round=True), "sews all pegs off"),
    ],
)
def test_the_simulator_objects_to_an_edge_that_runs_down(step: Sew, words: str) -> None:
    """A peg left out, and a round that is not closed: its first loop would be held by two strands only."""
    with pytest.raises(Wrong, match=words):
        sewn_on(12).do_Sew(step)
    uncut = sewn_on(12)
    uncut.cut = False
    with pytest.raises(Wrong, match="cut yarn"):
        uncut.do_Sew(Sew(range(1, 13), round=True))


def test_short_rows_by_hand() -> None:
    """Six pegs down to two and back: 5, 4, 3, 2 and 3, 4, 5, 6 stitches, the yarn back at peg 1."""
    loom = Loom(12)
    loom.tail = True
    loom.do_Wrap(Wrap(range(1, 7)))
    loom.at = None
    loom.do_ShortRows(ShortRows("heel", "u-wrap", range(1, 7), 2))
    assert loom.short == [5, 4, 3, 2, 3, 4, 5, 6]
    assert loom.at == 1
    assert all(len(loom.on[peg]) == 1 for peg in range(1, 7))


def test_a_flat_piece_is_worked_to_and_fro() -> None:
    """The rib lies between two edge stitches, and binding off begins where the yarn hangs."""
    plan = plan_for("panel", "2x1")
    steps = plan_steps(plan)[0]
    rows = steps.rows[0]
    assert rows.flat
    assert rows.edge == 1
    assert "".join(rows.side(peg) for peg in rows.pegs) == "K" + "KKP" * ((steps.pegs - 2) // 3) + "K"
    wrong = [replace(s, pegs=s.pegs[::-1]) if isinstance(s, BindOff) else s for s in steps.steps]
    with pytest.raises(Wrong, match="out of its way"):
        Loom(steps.pegs, flat=True).follow(wrong)


def on_the_needle(half: int, least: int) -> Loom:
    """A heel over half the pegs of a loom of two such halves, one round worked before it."""
    pegs = range(1, 2 * half + 1)
    loom = Loom(pegs=2 * half, tail=True, on={}, at=None)
    loom.on = {peg: [Loop("row 1")] for peg in pegs}
    loom.at = 2 * half
    loom.do_ShortRows(ShortRows("heel", "u-wrap", pegs[:half], least))
    return loom


@pytest.mark.parametrize("half", range(4, 61))
def test_short_rows_over_any_half_can_be_worked(half: int) -> None:
    """Every wrap is taken up, no row is empty or begins behind the yarn, and the last one ends at peg 1."""
    loom = on_the_needle(half, narrowest(half))
    rows, stitches = short_rows(2 * half)
    assert (len(loom.short), sum(loom.short)) == (rows, stitches)


@pytest.mark.parametrize("half", [10, 13, 16, 19, 22, 25, 28])
def test_an_odd_number_of_narrowing_rows_ends_behind_the_yarn(half: int) -> None:
    """Narrowed to a third rounded down, as it once was: 16 pegs to 5, where the last row would need peg 16 again."""
    assert (half - half // 3) % 2
    with pytest.raises(Wrong):
        on_the_needle(half, half // 3)

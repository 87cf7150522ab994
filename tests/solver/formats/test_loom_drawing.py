"""The loom from above, peg by peg: what is marked there is what the steps work, and no number is off by one."""

import re
from collections.abc import Iterator
from math import hypot
from typing import Any

import pytest

from solver.formats.blocks import Drawing
from solver.formats.looms import LoomPicture
from solver.model.ask import Pins
from solver.page.drawn import loom_drawings
from solver.page.step_words import step_words
from solver.plan.saved import SavedPlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import PieceSteps, Rows
from solver.terms import Terms
from tests.kits.sheetplans import CASES, plan_for

RING = {"around_um": 355_600, "pins": Pins(loom="porch ring")}
RAKE = {"around_um": 482_600, "pins": Pins(loom="long rake")}
LOOMS = [
    *((name, rib, {}) for name, rib in CASES),
    *(("hat", rib, on) for rib in ("1x1", "2x2") for on in (RING, RAKE)),
]
Drawn = tuple[SavedPlan, PieceSteps, list[LoomPicture]]


def drawings(name: str, rib: str | None, on: dict[str, Any]) -> Iterator[Drawn]:
    """For each piece its pictures: as it is begun, then one for each rib."""
    plan = plan_for(name, rib, **on)
    for piece in plan_steps(plan):
        drawn: list[Drawing] = list(loom_drawings(plan, piece))
        yield plan, piece, [each.picture for each in drawn if isinstance(each.picture, LoomPicture)]


@pytest.mark.parametrize(("name", "rib", "on"), LOOMS, ids=[f"{n}-{r or 'plain'}" for n, r, _ in LOOMS])
def test_marks_are_what_the_steps_work(name: str, rib: str | None, on: dict[str, Any]) -> None:
    """A purl peg is one that the rib purls; a stroke is at one that a drawn start passes; each by its number."""
    for _, piece, (begun, *ribbed) in drawings(name, rib, on):
        first = set(piece.drawn_start or ())
        assert {p.number for p in begun.pegs if p.past} == first
        assert not any(p.purl for p in begun.pegs)
        ribs = {r.pattern: r for r in piece.rows if isinstance(r, Rows) and "P" in r.pattern}.values()
        assert len(ribs) == len(ribbed)
        for rows, picture in zip(ribs, ribbed, strict=True):
            purled = {p.number for p in picture.pegs if p.purl}
            repeat = rows.pattern * (piece.pegs // len(rows.pattern) + 1)
            edge = 0 if not piece.flat else min(purled) - 1 - rows.pattern.index("P")  # flat, edge pegs stand before it
            assert 0 <= edge <= 3
            assert purled == {i for i in range(edge + 1, piece.pegs - edge + 1) if repeat[i - edge - 1] == "P"}


@pytest.mark.parametrize(("name", "rib", "on"), LOOMS, ids=[f"{n}-{r or 'plain'}" for n, r, _ in LOOMS])
def test_every_number_stands_by_its_own_peg(name: str, rib: str | None, on: dict[str, Any]) -> None:
    """The peg next to a number, or in line with it, is that peg; the first side ends where the plan says."""
    for plan, piece, pictures in drawings(name, rib, on):
        made = plan.option.pieces[plan.place(piece.name)]
        for picture in pictures:
            pegs = {p.number: p for p in picture.pegs if p.number}
            assert sorted(pegs) == list(range(1, made.pegs + 1))
            numbers = [label for label in picture.labels if label.text.isdigit()]
            assert len(numbers) > 1
            for label in numbers:
                peg = pegs[int(label.text)]
                nearest = min(pegs.values(), key=lambda p: hypot(p.x - label.x, p.y + 5 - label.y))
                in_line = min(abs(peg.x - label.x), abs(peg.y + 5 - label.y)) < 0.05
                assert nearest is peg or (in_line and not picture.rim)
            if made.pegs_per_side and made.pegs_per_end and not piece.flat:
                near = [n for n, p in pegs.items() if p.y == pegs[1].y]
                assert near == list(range(1, made.pegs_per_side + 1))
                far_from, top = made.pegs_per_side + made.pegs_per_end + 1, min(p.y for p in pegs.values())
                assert min(n for n, p in pegs.items() if p.y == top) == far_from
                facing = [(pegs[n], pegs[far_from + made.pegs_per_side - n]) for n in near]
                assert all(abs(a.x - b.x) < 0.05 for a, b in facing)


MIDDLES = [("hat", RING), ("hat", RAKE), ("hat", {}), ("ball", {})]


@pytest.mark.parametrize(("name", "on"), MIDDLES, ids=["ring", "slider", "frame", "ball"])
def test_the_first_round_is_drawn_past_its_pegs_and_round_none(name: str, on: dict[str, Any]) -> None:
    """As the step says: a strand on the side away from the loom's middle, open towards it; and no word of wrapping."""
    plan = plan_for(name, None, **on)
    (piece,) = plan_steps(plan)
    drawing = next(loom_drawings(plan, piece))
    assert "woven past on the outside in the first round, round none (pegs 1, 3, 5" in drawing.caption
    assert "wrap" not in drawing.caption
    picture = drawing.picture
    assert isinstance(picture, LoomPicture)
    for peg in (p for p in picture.pegs if p.past):
        x0, y0, x1, y1 = strand_of(peg.past)
        (ax, ay), (bx, by) = (x0 - peg.x, y0 - peg.y), (x1 - peg.x, y1 - peg.y)
        assert hypot(ax, ay) == pytest.approx(hypot(bx, by), abs=0.02)
        assert ax * by > ay * bx  # it bends about the peg
        assert hypot(ax, ay) > 1.2 * picture.radius
        for x, y in ((x0, y0), (x1, y1), ((x0 + x1) / 2, (y0 + y1) / 2)):
            assert outside(picture, x, y) > outside(picture, peg.x, peg.y) + 0.2


def outside(picture: LoomPicture, x: float, y: float) -> float:
    """How far out a place lies: from the middle of a ring, or from the middle line between two sides or ends."""
    if picture.rim:
        return hypot(x - picture.rim[0], y - picture.rim[1])
    worked = [p for p in picture.pegs if p.number]
    near, far = max(p.y for p in worked), min(p.y for p in worked)
    left, right = min(p.x for p in worked), max(p.x for p in worked)
    at_an_end = min(x - left, right - x) < min(near - y, y - far)
    return (
        abs(x - (left + right) / 2) - (right - left) / 2 if at_an_end else abs(y - (near + far) / 2) - (near - far) / 2
    )


def strand_of(path: str) -> tuple[float, ...]:
    """Both ends of an arc of less than half a turn, which is all that may be drawn past a peg."""
    found = re.fullmatch(r"M([\d.-]+),([\d.-]+) A[\d.,]+ 0 0 [01] ([\d.-]+),([\d.-]+)", path)
    assert found, path
    return tuple(float(n) for n in found.groups())


@pytest.mark.parametrize("name", ["thumb", "panel"])
def test_flat_work_is_drawn_from_where_its_yarn_begins(name: str) -> None:
    """A thumb picked up onto pegs 1 to 9 has its yarn at peg 9, and the arrow and its words go from there."""
    plan = plan_for("mittens", None, size="2-years") if name == "thumb" else plan_for("panel", None)
    piece = plan_steps(plan)[-1]
    assert piece.flat
    told = " ".join(w for step in piece.steps for w in step_words(step, Terms(), piece))
    begins = re.search(r"Begin with a new end of yarn at peg (\d+)|hang down beside peg (\d+)", told)
    assert begins
    peg = int(begins[1] or begins[2])
    picture = next(loom_drawings(plan, piece)).picture
    assert isinstance(picture, LoomPicture)
    assert f"work to and fro, from peg {peg}" in [label.text for label in picture.labels]
    assert (picture.tip[2] == 180) == (peg > 1)  # the arrow points to the left, back to peg 1

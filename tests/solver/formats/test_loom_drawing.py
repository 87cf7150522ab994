"""The loom from above, peg by peg: what is marked there is what the steps work, and no number is off by one."""

from collections.abc import Iterator
from math import hypot
from typing import Any

import pytest

from solver.formats.blocks import Drawing
from solver.formats.looms import LoomPicture
from solver.model.ask import Pins
from solver.page.drawn import loom_drawings
from solver.plan.saved import SavedPlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import PieceSteps, Rows
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
    """A purl peg is one that the rib purls, a ringed peg one that the drawn start wraps, each peg by its own number."""
    for _, piece, (begun, *ribbed) in drawings(name, rib, on):
        first = set(piece.drawn_start or ())
        assert {p.number for p in begun.pegs if p.first} == first
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

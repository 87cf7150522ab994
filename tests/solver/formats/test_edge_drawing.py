"""Edges as drawn, read back from the page: loop by loop, over and under, against what the words of the step say.

Common practice, no source: sewn, each loop is passed forward twice and back once, the other way through the same hole;
passed over, each loop lies round both sides of the next; gathered, every loop is threaded while it is on its peg.
"""

from __future__ import annotations

import re
from functools import cache
from math import atan2, pi
from pathlib import Path
from typing import Any

import pytest

from solver.formats.blocks import Drawing, Part, Sheet, StepList
from solver.formats.edge_rows import EdgeShape
from solver.formats.edges import edge_picture
from solver.formats.html import html_of
from solver.formats.markdown import markdown_of, plain
from solver.formats.strands import EdgePicture
from solver.page.contents import sheet_of
from tests.kits.sheetplans import CASES, plan_for
from tests.solver.formats import browser
from tests.solver.formats.strands_read import Seen, clear_of_pegs, crossings, edges_of, inside, passes, round_pegs

UP = range(1, 85)
PEGS = {
    "round": (tuple(UP), True),
    "flat, to the right": (tuple(range(1, 33)), False),
    "flat, to the left": (tuple(range(32, 0, -1)), False),
    "few": (tuple(range(1, 6)), True),
    "three": ((3, 2, 1), False),
    "thousands": (tuple(range(1, 401)), True),
}
shapes = pytest.mark.parametrize("pegs", PEGS.values(), ids=PEGS)


@cache
def frames(kind: str, pegs: tuple[int, ...], in_the_round: bool) -> list[Seen]:
    """The frames of an edge, read from a page with that drawing alone."""
    words = tuple((f"title {n}", f"words {n}", f"seen {n}") for n in range(3))
    drawing = Drawing(edge_picture(EdgeShape(kind, pegs, in_the_round, words)), "an edge")
    page = html_of(Sheet("One", "One drawing.", (Part("one", "One", (drawing,)),)))
    (found,) = edges_of(page)
    return found


def where(frame: Seen) -> dict[str, list[str]]:
    """For each loop the pegs that it lies round."""
    return {name.removeprefix("loop "): round_pegs(frame, name) for name in frame.loops}


def sewing(pegs: tuple[int, ...], stitches: int) -> list[tuple[str, str]]:
    """Forward two, back one, so many times."""
    done = []
    for i in range(stitches):
        done += [(str(pegs[i]), "up"), (str(pegs[i + 1]), "up"), (str(pegs[i]), "down")]
    return done


@shapes
def test_sewn_goes_forward_two_and_back_one(pegs: tuple[tuple[int, ...], bool]) -> None:
    """Loop by loop as practised; a loop leaves its peg only after the needle came back through it."""
    order, _ = pegs
    forward, back, once_more = frames("sewn", *pegs)
    assert passes(forward) == sewing(order, 1)[:2]
    assert passes(back) == sewing(order, 1)
    assert passes(once_more) == sewing(order, 2)
    on = {str(peg): [str(peg)] for peg in order[:3]}
    assert where(forward) == on
    assert where(back) == on
    assert where(once_more) == on | {str(order[0]): []}


@shapes
def test_passed_over_lifts_the_lower_over_the_upper(pegs: tuple[tuple[int, ...], bool]) -> None:
    """Upper above lower on one peg; then the lower round both sides of the upper, which goes back to its own peg."""
    a, b, c = (str(peg) for peg in pegs[0][:3])
    moved, lifted, back = frames("passed over", *pegs)
    assert where(moved) == {a: [a], b: [a], c: [c]}
    both = crossings(moved.loops[f"loop {b}"], moved.loops[f"loop {a}"])
    assert len(both) >= 2
    assert all(crossing.over for crossing in both)
    assert where(lifted) == {a: [], b: [a], c: [c]}
    assert where(back) == {a: [], b: [b], c: [c]}
    for frame in (lifted, back):
        lower, upper = frame.loops[f"loop {a}"], frame.loops[f"loop {b}"]
        # from its foot to the peg the upper goes under what was lifted over it, and over where that came from; and back
        assert [crossing.over for crossing in crossings(upper, lower)] == [False, True, True, False]
        sides = crossings(upper, lower)
        for one, other in (sides[:2], sides[2:]):
            assert inside(((one.at[0] + other.at[0]) / 2, (one.at[1] + other.at[1]) / 2), lower)
        assert not crossings(frame.loops[f"loop {c}"], lower)


@shapes
def test_gathered_threads_every_loop_before_one_leaves_its_peg(pegs: tuple[tuple[int, ...], bool]) -> None:
    """Each once, alike, in the order of work, the first once more; then the same yarn through loops off their pegs."""
    order, in_the_round = pegs
    threaded, shut = frames("gathered", *pegs)
    told = passes(threaded)
    names = [name for name, _ in told]
    assert len(set(told)) == len(threaded.loops) == len(names) - 1
    assert {sense for _, sense in told} == {"up"}
    assert names[0] == names[-1] == str(order[0])
    assert set(names) == {name.removeprefix("loop ") for name in threaded.loops}
    numbers = [int(name) for name in names[:-1] if name.isdigit()]
    assert numbers == [peg for peg in order if peg in numbers]
    assert (numbers[0], numbers[-1]) == (order[0], order[-1])
    on = where(threaded)
    assert all(on[str(number)] == [str(number)] for number in numbers)
    assert all(len(lies) == 1 for lies in on.values())
    assert len(threaded.pegs) == len(on)
    assert in_order_of_place(threaded, names[:-1], order, in_the_round)
    assert not shut.pegs
    again = passes(shut)
    assert [name for name, _ in again] == names
    assert len({sense for _, sense in again}) == 1


def in_order_of_place(frame: Seen, names: list[str], order: tuple[int, ...], in_the_round: bool) -> bool:
    """Whether loops lie one after the other: round from the foot to the right, or along the row, as the pegs count."""
    spots = [frame.loops[f"loop {name}"] for name in names]
    tips = [spot[len(spot) // 2][:2] for spot in spots]
    if not in_the_round:
        xs = [x for x, _ in tips]
        return xs == sorted(xs, reverse=order[1] < order[0])
    x0, y0 = frame.box[0] / 2, frame.box[1] / 2
    turns = [(atan2(x - x0, y - y0) + 0.01) % (2 * pi) for x, y in tips]
    return turns == sorted(turns)


@shapes
@pytest.mark.parametrize("kind", ["sewn", "passed over", "gathered"])
def test_pegs_stand_in_order_and_no_yarn_lies_on_one(kind: str, pegs: tuple[tuple[int, ...], bool]) -> None:
    """Numbers rise to the right; every strand keeps off every peg, and all lies within the drawing."""
    for frame in frames(kind, *pegs):
        clear_of_pegs(frame)
        if kind != "gathered" or not pegs[1]:
            xs = {peg[3]: peg[0] for peg in frame.pegs if peg[3]}
            assert sorted(xs, key=int) == sorted(xs, key=lambda number: xs[number])
        wide, high = frame.box
        assert all(-1 <= x <= wide + 1 and 0 <= y <= high for line in frame.strands.values() for x, y, _ in line)


@pytest.mark.parametrize("fault", ["height", "order", "hole"])
def test_the_reader_finds_what_is_drawn_wrongly(fault: str) -> None:
    """A pass that only lies across, one that is left out, one beside the hole."""
    frame = frames("sewn", tuple(UP), True)[1]
    yarn = list(frame.strands["yarn"])
    spoilt = Seen(frame.title, frame.desc, frame.box, frame.pegs, dict(frame.strands))
    if fault == "height":
        spoilt.strands["yarn"] = [(x, y, 10_000) for x, y, _ in yarn]
        with pytest.raises(AssertionError, match="lies across"):
            passes(spoilt)
    elif fault == "order":
        spoilt.strands["yarn"] = yarn[::-1]
        assert passes(spoilt) != passes(frame)
    else:
        spoilt.strands["yarn"] = [(x, y + 40, late) for x, y, late in yarn]
        assert passes(spoilt) != passes(frame)


SHEETS: list[tuple[str, str | None, dict[str, Any]]] = [
    *((name, rib, {}) for name, rib in CASES),
    *((name, None, {"bind_off": edge}) for name in ("hat", "panel") for edge in ("sewn", "passed-over")),
]
every_sheet = pytest.mark.parametrize(
    ("name", "rib", "more"), SHEETS, ids=["-".join((n, r or "", *m.values())) for n, r, m in SHEETS]
)
WORDS = {
    "passed over": r"Knit peg (\d+), then peg (\d+)\. Move the loop of peg (\d+) onto peg (\d+), lift the lower loop "
    r"over the upper, and move the loop that is left back to peg (\d+)\. Peg (\d+) is empty\.",
    "sewn": r"Forward: pass it through the loops on pegs (\d+) and (\d+).* Back: pass it through the loop on peg (\d+) "
    r"once more, the other way.* Forward through the loops on pegs (\d+) and (\d+), back through peg (\d+), "
    r"lift it off",
    "gathered": r"pass it through the loop on each peg, pegs? (?:(\d+) to (\d+)|(\d+), .* (\d+)) in the order of work, "
    r"then once more through the first",
}


@every_sheet
def test_each_edge_is_drawn_below_its_step_as_that_says(name: str, rib: str | None, more: dict[str, Any]) -> None:
    """One drawing for each step that takes loops off their pegs, right below it, with the same pegs in that order."""
    sheet = sheet_of(plan_for(name, rib, **more))
    drawings = iter(edges_of(html_of(sheet)))
    told = 0
    for part in sheet.parts:
        for i, block in enumerate(part.blocks):
            said = " ".join(part.blocks[i - 1].steps[-1]) if i and isinstance(part.blocks[i - 1], StepList) else ""
            if isinstance(block, Drawing) and isinstance(block.picture, EdgePicture):
                agrees(block.picture.kind, re.search(WORDS[block.picture.kind], said), next(drawings))
            if isinstance(block, StepList):
                told += sum(bool(re.search(each, " ".join(s))) for s in block.steps for each in WORDS.values())
    assert told == sum(
        isinstance(b, Drawing) and isinstance(b.picture, EdgePicture) for p in sheet.parts for b in p.blocks
    )
    assert told >= 1
    assert next(drawings, None) is None


def agrees(kind: str, said: re.Match[str] | None, seen: list[Seen]) -> None:
    """What the step says, number by number, is what its drawing shows."""
    assert said, f"no step above the drawing of what is {kind}"
    numbers = [n for n in said.groups() if n]
    if kind == "sewn":
        assert [name for name, _ in passes(seen[-1])] == numbers
        assert [name for name, _ in passes(seen[0])] == numbers[:2]
    elif kind == "passed over":
        first, second, over, onto, back, empty = numbers
        assert (over, onto, back, empty) == (second, first, second, first)
        assert where(seen[0])[second] == [first]
        assert where(seen[-1])[second] == [back]
        assert where(seen[-1])[first] == []
    else:
        names = [name for name, _ in passes(seen[0])]
        assert (names[0], names[-2], names[-1]) == (numbers[0], numbers[-1], numbers[0])


@every_sheet
def test_who_cannot_see_it_is_told(name: str, rib: str | None, more: dict[str, Any]) -> None:
    """Title and description of each frame, each other words, true of what lies on its peg; in Markdown the doing."""
    sheet = sheet_of(plan_for(name, rib, **more))
    marked = markdown_of(sheet)
    drawn = [b for p in sheet.parts for b in p.blocks if isinstance(b, Drawing) and isinstance(b.picture, EdgePicture)]
    for block, seen in zip(drawn, edges_of(html_of(sheet)), strict=True):
        assert isinstance(block.picture, EdgePicture)
        assert len({frame.title for frame in seen}) == len({frame.desc for frame in seen}) == len(seen)
        for frame, made in zip(seen, block.picture.frames, strict=True):
            assert (frame.title, frame.desc) == (made.title, made.seen)
            off = [name for name, lies in where(frame).items() if not lies]
            assert ("every loop is" in frame.desc.lower()) == (not off and block.picture.kind != "passed over")
            for loop in off:
                assert re.search(rf"peg {loop} (has left|is off)|Peg {loop} is empty|loops are off", frame.desc)
            assert plain(made.words) in marked


def test_words_for_either_reader() -> None:
    """Binding or casting off."""
    captions = {}
    for reader in ("us", "uk"):
        sheet = sheet_of(plan_for("hat"), reader)
        captions[reader] = [
            b.caption
            for p in sheet.parts
            for b in p.blocks
            if isinstance(b, Drawing) and isinstance(b.picture, EdgePicture)
        ]
    assert captions["us"][0].startswith("Binding off with the needle")
    assert captions["uk"][0].startswith("Casting off with the needle")


@pytest.mark.parametrize("width", [320, browser.PHONE, browser.A4, 1200])
@pytest.mark.parametrize("name", ["hat", "mittens", "toy"])
def test_readable_at_every_width(name: str, width: int, tmp_path: Path) -> None:
    """On a small phone, a phone, paper and a desk: nothing cut off, and no number under 9 px."""
    page = html_of(sheet_of(plan_for(name)))
    seen = browser.measured(page, tmp_path, width)
    assert seen["wrong"] == []
    assert seen["scroll"] <= width
    assert seen["least"] >= 9

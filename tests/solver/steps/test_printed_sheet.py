"""Every sheet, as it is printed, can be worked loop by loop from its words alone; its ticks run as the work does, and
its yarn is what an independent sum gives. Faults that sheets once had are each found.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from catalog.item import item
from catalog.kit import Kit
from catalog.kit import kit_of as read_kit
from solver.asking.wish import Wish
from solver.formats.text import text_lines
from solver.model.ask import Pins
from solver.page.contents import sheet_of
from solver.plan.answer import answer
from solver.plan.saved import SavedPlan, plan_of
from solver.why.explain import explain
from tests.command import pegwright
from tests.kits.sheetplans import AROUND, CASES, plan_for, wish_for
from tests.solver.steps.hands import Hands, need
from tests.solver.steps.knitter import read, taught, work
from tests.solver.steps.printed import Printed, Wrong, read_sheet
from tests.solver.steps.set_up import bolted
from tests.solver.steps.tape import MARKS, counts, measures

TAIL, MARGIN, LOOSE, HELD, SEWN, SPARE, ROUND = 150, 1.1, 1.3, 350, 3, 200, 1.25  # own and practice, as domain has them
YARD_M = 0.9144


def printed(plan: SavedPlan, reader: str = "us") -> str:
    """The sheet of a plan as text."""
    return "\n".join(line for _, line in text_lines(sheet_of(plan, reader)))


def worked(text: str, plan: SavedPlan) -> tuple[Printed, list[Hands]]:
    """The sheet read and every piece worked to its last loop; ticks, edges and yarn judged. Raises Wrong."""
    sheet = read_sheet(text)
    need(sheet.care == [" ".join(each.split()) for each in plan.cautions], f"care is taken of {sheet.care}")
    done: list[Hands] = []
    for piece in sheet.pieces:
        open_before = {p.name: len(h.scrap) for p, h in zip(sheet.pieces, done, strict=False) if h.scrap}
        bolted(piece)
        done.append(work(Hands(piece.pegs, piece.flat, piece.ring, open_before), piece))
    taught(sheet.taught, [step for piece in sheet.pieces for step in piece.steps], plan.option.stitch)
    gauge = sheet.facts.get("Gauge") or sheet.facts["Tension"]
    counts(gauge, plan.gauge.width_um / 1000, plan.gauge.height_um / 1000)
    for piece, hands, way in zip(sheet.pieces, done, plan.ways, strict=True):
        measures(piece, hands, way.gauge.width_um / 1000, way.gauge.height_um / 1000)
    together(sheet, done)
    run = [each for piece, hands in zip(sheet.pieces, done, strict=True) for each in piece.copies * ticked(hands)]
    marks = [each for tick in sheet.ticks for each in events(*tick)]
    need(marks == run, f"the ticks run otherwise than the work: {differing(marks, run)}")
    opened = {p.name for p, h in zip(sheet.pieces, done, strict=True) if h.scrap}
    picked = set(re.findall(r"out of the opening of the (.+?),", " ".join(s for p in sheet.pieces for s in p.steps)))
    need(opened <= picked, f"nothing is picked up from the opening of {opened - picked}")
    enough(sheet, done, plan)
    return sheet, done


def together(sheet: Printed, done: list[Hands]) -> None:
    """Whatever is closed all round and is not the first of its kind is sewn to one made before."""
    closed = [(p.name, h) for p, h in zip(sheet.pieces, done, strict=True) if len(h.holes) == 2]
    for i, (name, hands) in enumerate(closed):
        need((not i) == (not hands.sewn_to), f"the {name} is sewn to {hands.sewn_to or 'nothing'}")
        need(not i or hands.sewn_to in [before for before, _ in closed[:i]], f"{hands.sewn_to} is not made yet")


def ticked(hands: Hands) -> list[str]:
    """What of the work is ticked off."""
    return [each for each in hands.events if not each.startswith("title")]


TICKS = {
    "picked up": "picked up",
    "the opening": "opening", "check after row": "check", "lifted onto the empty pegs": "edge lifted",
    "threaded through every loop": "threaded", "filled, before": "filled", "the start drawn shut": "start shut",
    "the end drawn shut": "end shut",
    "sewn to the": "sewn on", "the seam sewn": "seamed", "inding off": "bound off", "asting off": "bound off",
}  # fmt: skip


def events(label: str, first: int, last: int) -> list[str]:
    """A line to tick, as what happens."""
    if first:
        what = "short" if "short rows" in label else "row"
        return [f"{what} {row}" for row in range(first, last + 1)]
    return [next((event for words, event in TICKS.items() if words in label), f"unknown: {label}")]


def differing(one: list[str], other: list[str]) -> str:
    """The first place where two runs differ."""
    at = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    return f"{one[at : at + 3]}, not {other[at : at + 3]}"


def enough(sheet: Printed, done: list[Hands], plan: SavedPlan) -> None:
    """The yarn that each edge is said to take does for it, and the yarn in all is the sum of loops, edges and tails."""
    total = 0.0
    for piece, hands, made, way in zip(sheet.pieces, done, plan.option.pieces, plan.ways, strict=True):
        loop, pitch = way.gauge.loop_um / 1000, plan.loom(made.loom).pitch_mm
        pegs, span = hands.pegs, hands.pegs * pitch
        must = float(made.model_dump().get("must_pass_mm") or 0)
        widest = max(must, span, ROUND * pegs * way.gauge.width_um / 1000)
        edge = {"passed over": LOOSE * pegs * loop, "gathered": span + HELD, "sewn": SEWN * widest + SPARE}[hands.off]
        told = hands.off_mm if hands.off == "passed over" else hands.cut_mm - TAIL
        need(
            told >= MARGIN * edge - MARKS,
            f"{told:.0f} mm beside the tail are too little, {MARGIN * edge:.0f} wanted: {hands.off}, {pegs} pegs of "
            f"{pitch:.1f} mm, {loop:.1f} mm a loop, {must:.0f} mm to pass",
        )
        left = hands.cut_mm - span - 100 if hands.off == "gathered" else 0  # across the hole, and sunk
        need(hands.joined_mm <= left, f"{hands.joined_mm:.0f} mm sew it on, {left:.0f} mm are left")
        loops = (hands.stitches + hands.set_up) * loop + (span if hands.woven else 0)
        total += piece.copies * (loops + edge + 2 * TAIL) * plan.option.strands * MARGIN
    said = re.match(r"(\d+) (yd|m) in all", sheet.facts["How much"])
    per = 1000 * (YARD_M if said and said[2] == "yd" else 1)
    need(
        said is not None and abs(int(said[1]) - total / per) < 1,
        f"{total / per:.1f} by sum, {sheet.facts['How much']}",
    )


@pytest.mark.parametrize("reader", ["us", "uk"])
@pytest.mark.parametrize(("name", "rib"), CASES)
def test_every_item_and_rib_is_worked_to_the_last_loop(name: str, rib: str | None, reader: str) -> None:
    """The built-in kit, in either reader's words."""
    plan = plan_for(name, rib, "cm" if reader == "uk" else "in")
    _, done = worked(printed(plan, reader), plan)
    assert [hands.row for hands in done] == [piece.rows_total for piece in plan.option.pieces]


def test_what_is_worked_is_what_the_command_prints(tmp_path: Path) -> None:
    """The same text comes from `pegwright sheet`, at 80 columns."""
    ran = pegwright("sheet", "hat", "--around", "21 in", here=tmp_path)
    worked(ran.out, plan_for("hat"))
    assert ran.out.strip() == printed(plan_for("hat")).strip()


# every loom, rib and stitch


HOOPS = (8, 12, 14, 16, 24, 28, 31, 36, 40, 44, 48, 52, 60, 72, 84, 88, 92, 96, 100, 104, 108, 112, 120)


@cache
def kit_of(build: str) -> Kit:
    """A cupboard of looms of one build, with a yarn that suits them all."""
    looms: dict[str, list[dict[str, Any]]] = {
        "ring": [{"name": f"hoop of {n}", "build": "ring", "pegs": n} for n in HOOPS],
        "slider": [{"name": "hearth rake", "build": "slider", "pegs_least": 8, "pegs_most": 121}],
        "boards": [{
            "name": "loft frame", "build": "boards", "base_gap": "3 mm", "joining": True, "ends_anywhere": True,
            "bolts_per_board": 2, "side_boards": [{"name": "side", "pegs": 30, "on_hand": 4}],
            "end_boards": [{"name": "end", "pegs": 2, "on_hand": 2}],
        }],
    }  # fmt: skip
    sized = [{"pitch": "9.5 mm", "peg_diameter": "3 mm", **loom} for loom in looms[build]]
    yarn = {"name": "tarn wool", "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g", "fibre": "wool"}
    return read_kit({"loom": sized, "yarn": [yarn]}, build)


BUILDS, STITCHES = ("ring", "slider", "boards"), ("u-wrap", "e-wrap")
GATHERED = ("ball", "bolster", "hat-brim-first", "toy")  # bound off nowhere
EDGES = ("sewn", "passed-over")
# Each item and rib with either edge, and for a body that has to pass as well as for a girth alone.
EVERY = [
    (name, rib, build, stitch, None if name in GATHERED else EDGES[(i + j + k) % 2], bool((i + j) % 2))
    for i, (name, rib) in enumerate(CASES)
    for j, build in enumerate(BUILDS)
    for k, stitch in enumerate(STITCHES)
]
SOME = EVERY[::11]


@pytest.mark.parametrize(
    "cases",
    [pytest.param(SOME, id="some"), pytest.param(EVERY, id="every", marks=[pytest.mark.slow, pytest.mark.long])],
)
def test_every_loom_rib_and_stitch_is_worked_or_refused(
    cases: list[tuple[str, str | None, str, str, str | None, bool]],
) -> None:
    """11 items, each rib, ring, slider, frame, either stitch and either reader: to the last loop, or a reason."""
    made: set[tuple[str, str]] = set()
    refused = 0
    edges: set[str] = set()
    passed = 0
    for name, rib, build, stitch, edge, worn in cases:
        body = {"body_um": AROUND[str(item(name).body)]} if worn and item(name).body else {}
        kit, wish = kit_of(build), wish_for(name, rib, stitch=stitch, bind_off=edge, **body)
        got = answer(kit, wish, 1)
        if not got.report.options:
            assert explain(kit, wish, got.ask).says, (name, rib, build, stitch)
            refused += 1
            continue
        plan = plan_of(got, wish, None, 1)
        passed += edge == "sewn" and bool(plan.option.pieces[0].must_pass_mm)
        for reader in ("us", "uk"):
            try:
                edges |= {hands.off for hands in worked(printed(plan, reader), plan)[1]}
            except Wrong as wrong:
                raise Wrong(f"{name}, {rib}, {build}, {stitch}, {edge}, {reader}: {wrong}") from None
        made.add((name, build))
    assert 3 * refused < len(cases)
    if cases is EVERY:
        assert made == {(name, build) for name, *_ in CASES for build in BUILDS}
    assert edges == {"sewn", "passed over", "gathered"}
    assert passed


@pytest.mark.parametrize("half", range(4, 61))
def test_short_rows_over_any_half_are_worked(half: int) -> None:
    """The words of a toe and a heel over h pegs, h from 4 to 60, on a loom of 2h."""
    text = printed(plan_for("socks", "1x1"))
    for heel_or_toe in (s for p in read_sheet(text).pieces for s in p.steps if s.startswith("Work to and fro over")):
        hands = begun(2 * half)
        read(hands, over(half, heel_or_toe))
        assert hands.at == 1
        assert hands.stitches == half * half - nearest(half) ** 2


def nearest(half: int) -> int:
    """The whole number nearest h/3 that is even or odd as h is, ties up."""
    return min(range(half, 0, -2), key=lambda t: abs(3 * t - half))


def begun(pegs: int) -> Hands:
    """A loom with one loop on every peg and the yarn at peg 1."""
    hands = Hands(pegs)
    read(hands, "Let 6 in of yarn hang down through the middle of the loom: it closes the edge later.")
    read(hands, f"Wrap pegs {pegs} to 1, backwards, once each: {pegs} loops.")
    return hands


def over(half: int, words: str, least: int | None = None) -> str:
    """The words of short rows, for another half."""
    from solver.page.words_rows import short_rows_words
    from solver.steps.step import ShortRows

    step = ShortRows("short-row heel", "u-wrap", range(1, half + 1), least or nearest(half))
    told = " ".join(short_rows_words(step))
    assert re.sub(r"[\d, …]+", "#", told)[:40] == re.sub(r"[\d, …]+", "#", words)[:40]
    return told


# faults that sheets once had, each found


def refuses(match: str, name: str, *old: tuple[str, str], rib: str | None = None, **more: Any) -> None:
    """The sheet of an item is worked as it stands; with its old words in place of the new ones it is refused."""
    refuses_of(plan_for(name, rib, **more), match, *old)


def refuses_of(plan: SavedPlan, match: str, *old: tuple[str, str]) -> None:
    """The same of a plan."""
    text = printed(plan)
    worked(text, plan)
    work, ticks = text.split("\nRows to tick off\n")
    flowing = re.sub(r"\n {4,}(?=\S)", " ", work) + "\nRows to tick off\n" + ticks
    for now, was in old:
        assert re.search(now, flowing), now
        flowing = re.sub(now, was, flowing)
    with pytest.raises(Wrong, match=match):
        worked(flowing, plan)


@pytest.mark.parametrize("half", [10, 13, 16, 19, 22, 25, 28])
def test_an_odd_number_of_narrowing_rows_is_found(half: int) -> None:
    """Narrowed to the nearest third whatever its parity, the last rows take up a peg behind the yarn."""
    told = over(half, "Work to and fro over pegs 1 to 16 only; all other pegs wait.", least=nearest(half) + 1)
    with pytest.raises(Wrong, match=r"behind the yarn|no wrap|ends at peg"):
        read(begun(2 * half), told)


def test_short_rows_that_begin_away_from_the_yarn_are_found() -> None:
    """The yarn hangs at peg 1, and short rows over pegs 5 to 20 leave it behind."""
    told = over(16, "Work to and fro over pegs 1 to 16 only; all other pegs wait.")
    moved = re.sub(r"(?<=pegs )(\d+) to (\d+)|(?<=peg )(\d+)", lambda m: four_on(m[0]), told)
    with pytest.raises(Wrong, match="the yarn is at peg 1"):
        read(begun(32), moved)


def four_on(words: str) -> str:
    """Pegs, each four further on."""
    return re.sub(r"\d+", lambda m: str(int(m[0]) + 4), words)


def test_too_little_yarn_for_the_bind_off_is_found() -> None:
    """1.2 × the girth and a bit, which 84 pegs once got."""
    refuses(
        "beside the tail are too little",
        "hat",
        (r"takes about [\d ./]+ in of yarn", "takes about 63 in of yarn"),
        rib="1x1",
        bind_off="passed-over",
    )


def test_too_little_yarn_to_sew_off_is_found() -> None:
    """Once round, where the needle goes three times past every loop."""
    refuses(
        "beside the tail are too little",
        "hat",
        (r"Cut the yarn [\d ./]+ in beyond", "Cut the yarn 40 in beyond"),
        rib="1x1",
    )


def test_a_gather_tail_too_short_to_go_round_the_pegs_is_found() -> None:
    """By the girth, and not by the pegs."""
    refuses(
        "beside the tail are too little",
        "hat-brim-first",
        (r"Cut the yarn [\d ./]+ in", "Cut the yarn 26 in"),
        rib="1x1",
    )


def test_a_knot_inside_what_is_closed_all_round_is_found() -> None:
    """The second end of a ball fastened as if a hand could come in."""
    inside = (
        "With the yarn needle stitch across the closed hole three or four times, catching every loop round it. Knot "
        "the yarn twice on the inside. Bury the end on the inside for at least 2 in, there and back, and trim it. No "
        "loop and no cord stays outside."
    )
    refuses("no hand comes in", "ball", (r"The inside is closed now.*?stays outside\.", inside))


def test_a_ball_that_is_filled_too_late_is_found() -> None:
    """Stuffing told with the drawing shut of the last end, and no step before it."""
    gone = (r"\n *\d+\. Fill it through .*?out of reach\.", "")
    refuses(
        "filled before",
        "ball",
        gone,
        (r"Pull the cut end", "Stuff the piece first if it is to be stuffed. Pull the cut end"),
    )


def test_a_flat_stitch_called_u_wrap_is_found() -> None:
    """Yarn laid straight across is another stitch, tighter than the gauge."""
    old = "lay the yarn across the outside of the peg, above its loop, and lift the loop over it and off the peg."
    text = printed(plan_for("hat", "1x1"))
    words = next(w for w in read_sheet(text).taught if w.startswith("To knit"))
    taught([words], [], "u-wrap")
    with pytest.raises(Wrong, match="flat stitch"):
        taught([f"To knit a peg (u-wrap): {old}"], [], "u-wrap")


def test_a_drawn_cast_on_of_full_turns_is_found() -> None:
    """Wrapped instead of woven, the first round locks."""
    wrapped = r"First round, every other peg: wrap \1. That is \2 loops, and \2 pegs between them stay empty."
    now = r"First round, woven: lay the yarn outside (pegs [\d, …]+\d) and inside .*?That is (\d+) strands.*?to slide\."
    refuses("full turns lock", "hat", (now, wrapped), rib="1x1")


def test_as_many_whole_loops_above_an_opening_as_below_are_found() -> None:
    """Above lie one whole loop fewer and two halves."""
    old = (r"(\d+) loops lie open on its lower edge, and on its upper \d+ and half a loop at either corner",
           r"\1 loops lie open on its lower edge and \1 on its upper")  # fmt: skip
    refuses("two halves", "mittens", old, rib="1x1")


def test_a_tail_that_closes_both_corners_is_found() -> None:
    """It hangs at one of them."""
    old = (
        r"With the first tail close the gap at the corner beside peg 1, catching the half loop there, and weave in the",
        "Close the gap at either corner of the opening with the first tail, and weave in the",
    )
    refuses("does not reach the other", "slippers", old, rib="1x1")  # a heel in the round


ONE_RING = [{"name": "hoop of 24", "build": "ring", "pegs": 24, "pitch": "12.7 mm", "peg_diameter": "5 mm"}]


@cache
def thumb_on_a_ring() -> SavedPlan:
    """A child's mittens where there is one ring: the thumb is worked to and fro on part of it."""
    wool = {"name": "thick wool", "weight": 5, "length_per_ball": "120 m", "mass_per_ball": "100 g", "fibre": "wool"}
    wish = Wish("mittens", size="8-years", unit="in")
    return plan_of(answer(read_kit({"loom": ONE_RING, "yarn": [wool]}, "one ring"), wish, 1), wish, None, 1)


@pytest.mark.parametrize(
    ("match", "old"),
    [
        ("a ring has no side", (r"of the ring, to and fro", "of one side of the ring, to and fro")),
        ("a ring has no side", (r"onto the ring as they come free", "onto one side of the loom as they come free")),
        ("a ring has no side", (r"on along the ring, onto", "on along that side, onto")),
    ],
)
def test_a_side_told_of_a_ring_is_found(match: str, old: tuple[str, str]) -> None:
    """Whoever holds a hoop looks for its side in vain."""
    plan = thumb_on_a_ring()
    assert plan.option.pieces[1].flat
    refuses_of(plan, match, old)


def test_a_panel_on_a_ring_is_told_without_sides() -> None:
    """Its pegs are counted along the ring, from the one nearest to you."""
    plan = plan_for("panel", None, wide_um=203_200, pins=Pins(loom="porch ring"))
    worked(printed(plan), plan)
    assert "peg 1, the one nearest to you, to the right along the ring." in " ".join(printed(plan).split())
    refuses_of(
        plan,
        "a ring has no side",
        (r"the one nearest to you, to the", "at the left of the side nearest to you, to the"),
    )


def test_a_toy_that_is_never_put_together_is_found() -> None:
    """Six balls in a bag: the head and the limbs had their tails sunk, and no word said where they go."""
    alone = (r"Leave the rest of this tail hanging: it sews the \w+ on\.", "")
    on = (
        r"\n\nSew it on \(\w+\)\n +\d+\. Sew it to the body .*?of the tail\. (Then sink the tail.*?outside\.)",
        r" \1",
    )
    refuses("is sewn to nothing", "toy", alone, on)


def test_a_tail_too_short_to_sew_a_ball_on_is_found() -> None:
    """What drew it shut is what sews it on."""
    refuses("mm are left", "toy", (r"That takes about 11 3/4 in of the tail", "That takes about 20 in of the tail"))


@pytest.mark.parametrize(
    "missing", ["the opening: ", "check after row", "the start drawn shut", "inding off", "picked up"]
)
def test_an_entry_missing_from_the_run_of_rows_is_found(missing: str) -> None:
    """Whoever ticks would knit past it."""
    refuses("ticks run otherwise", "mittens", (rf"\n  \[ \] [^\n]*{missing}[^\n]*", ""), rib="1x1")


def test_a_heel_missing_from_the_run_of_rows_is_found() -> None:
    """Its short rows are rows too."""
    old = (r"\n  sock, 1 of 2: short-row heel, short rows(\n +[\d-]+ +\[[^\n]*)+", "")
    refuses("ticks run otherwise", "socks", old, rib="1x1")


def test_a_cut_that_forgets_what_must_pass_is_found() -> None:
    """A sock's edge goes over the heel: three times the pegs or the girth are too little for it."""
    plan = plan_for("socks", "1x1", "cm", size="adult-woman", bind_off="sewn")
    (piece,), (way,) = plan.option.pieces, plan.ways
    rest = max(piece.pegs * plan.loom(piece.loom).pitch_mm, ROUND * piece.pegs * way.gauge.width_um / 1000)
    assert (piece.must_pass_mm or 0) > rest
    short = f"Cut the yarn {MARGIN * (SEWN * rest + SPARE) / 10 + TAIL / 10:.0f} cm"
    refuses_of(plan, "are too little", (r"Cut the yarn [\d.]+ cm", short))


def test_an_end_bolted_at_another_peg_is_found() -> None:
    """The work goes round it: a peg further on, and one loop has no place."""
    plan = plan_for("hat", "1x1")
    text = printed(plan)
    here = re.search(r"just past peg\s+(\d+) of each", text)
    assert here
    for peg in (int(here[1]) - 1, int(here[1]) + 1):
        refuses_of(
            plan, f"stands just past peg {peg}", (r"just past peg\s+\d+ of each", f"just past peg {peg} of each")
        )


TAUGHT = [
    ("hat", "purl a peg goes otherwise", r"across its outside, below the loop", "across its outside, above the loop"),
    ("hat", "purl a peg goes otherwise", r"Reach down through", "Reach up through"),
    ("hat", "purl a peg goes otherwise", r"draw the yarn up through", "draw the yarn down through"),
    ("hat", "knit a peg .u-wrap. goes otherwise", r"of the peg, above its loop", "of the peg, below its loop"),
    ("hat", "weave goes otherwise", r"outside one peg and inside the next", "inside one peg and outside the next"),
    ("socks", "wrap and turn goes otherwise", r"put the loop back above it", "put the loop back below it"),
    (
        "socks",
        "not of wrap and turn",
        r"lift the loop off the next peg, lay the yarn round",
        "lay the yarn round the loop of",
    ),
    ("socks", "used: ", r"\n +- To wrap and turn: [^\n]*", ""),
]


@pytest.mark.parametrize(("name", "match", "now", "was"), TAUGHT)
def test_a_stitch_taught_as_another_is_found(name: str, match: str, now: str, was: str) -> None:
    """Yarn above the loop knits where it should purl; a wrap above its loop is never lifted over with it."""
    refuses(match, name, (now, was), rib="1x1")


TOLD = [
    ("hat", "[0-9]+ rows: ", r"(After row 10|After row \d+) it measures [\d/ ]+ in", r"\1 it measures 20 in"),
    ("hat", "10 rows: ", r"they should be [\d/ ]+ in", "they should be 3 in"),
    ("hat", "stitches of", r"count [\d/ ]+ stitches", "count 12 stitches"),
    ("hat", "rows of", r"stitches and [\d/ ]+ rows", "stitches and 40 rows"),
    ("hat", "girth: ", r"Round +[\d/ ]+ in", "Round  12 in"),
    ("hat", "laid flat: ", r"Laid flat +[\d/ ]+ in", "Laid flat  12 in"),
    ("hat", "long: ", r"\n  Long +[\d/ ]+ in", "\n  Long  12 in"),
    ("hat", "band: ", r"Band +[\d/ ]+ in", "Band  12 in"),
    ("hat", "rib at rest: ", r"draws in to about [\d/ ]+ in", "draws in to about 30 in"),
    ("socks", "care is taken of", r"\n   ! .*", ""),
    ("socks", "short rows: ", r"the heel about [\d/ ]+ in", "the heel about 5 in"),
    ("socks", "foot and Leg: ", r"\n  Leg +[\d/ ]+ in", "\n  Leg  2 in"),
    ("slippers", "foot and Cuff: ", r"\n  Foot +[\d/ ]+ in", "\n  Foot  2 in"),
    ("mittens", "without the cuff: ", r"Without the cuff +[\d/ ]+ in", "Without the cuff  2 in"),
    ("mittens", "are made", r"Thumb, 2 copies", "Thumb, 1 copy"),
    ("bolster", "as worked: ", r"\n  As worked +[\d/ ]+ in", "\n  As worked  2 in"),
]


@pytest.mark.parametrize(("name", "match", "now", "was"), TOLD)
def test_a_length_that_no_tape_shows_is_found(name: str, match: str, now: str, was: str) -> None:
    """On the way, and when it is done: each is what the rows and stitches worked come to."""
    refuses(match, name, (now, was), rib=None if name == "bolster" else "1x1")


def test_words_that_nobody_knows_are_found() -> None:
    """A sentence that the hands cannot do is no sentence of a sheet."""
    refuses("cannot be read", "hat", (r"knit every peg\.", "knit most pegs."), rib="1x1")

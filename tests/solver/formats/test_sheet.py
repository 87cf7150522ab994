"""A sheet's words: every count from the plan, lengths as a tape shows them, both readers' terms, text and Markdown."""

from __future__ import annotations

import re

import pytest

from catalog.shapes import HERE, read_toml
from solver.formats.blocks import CheckUp, Facts, Sheet, StepList, Ticks
from solver.formats.markdown import markdown_of, plain
from solver.formats.text import text_lines
from solver.page.contents import sheet_of
from solver.page.step_words import step_words
from solver.plan.answer import answer
from solver.plan.saved import plan_of
from solver.report.find import PiecePlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import Opening, Rows, ShortRows
from solver.terms import READERS, Terms, halves, some, tape_number
from tests.kits.edges import MITTENS, RAKE_SWATCH, THUMB_RAKE, WEARER
from tests.kits.sheetplans import CASES, plan_for
from tests.kits.small import kit_with

every_item = pytest.mark.parametrize(("name", "rib"), CASES, ids=[f"{n}-{r or 'plain'}" for n, r in CASES])


def text_of(sheet: Sheet, width: int = 80) -> str:
    """The whole sheet as one text."""
    return "".join(f"{line}\n" for _, line in text_lines(sheet, width))


def steps_text(sheet: Sheet) -> list[str]:
    """The steps of a sheet in order."""
    lists = [b for part in sheet.parts for b in part.blocks if isinstance(b, StepList)]
    return [" ".join(sentences) for block in lists for sentences in block.steps]


@every_item
def test_no_peg_or_row_is_named_that_is_not_there(name: str, rib: str | None) -> None:
    """Every peg number in a step lies on the loom, every row number within the piece, and the last of each is named."""
    plan = plan_for(name, rib)
    for piece, steps in zip(plan.option.pieces, plan_steps(plan), strict=True):
        words = " ".join(w for step in steps.steps for w in step_words(step, Terms(), steps))
        pegs = {int(n) for run in re.findall(r"\bpegs? (\d[\d ,to…and]*\d|\d)", words) for n in re.findall(r"\d+", run)}
        assert max(pegs) == piece.pegs
        assert min(pegs) == 1
        spans = [(int(a), int(b)) for a, b in re.findall(r"Rows (\d+) to (\d+)", words)]
        assert [n for span in spans for n in range(span[0], span[1] + 1)] == list(range(1, piece.rows_total + 1))


@every_item
def test_every_row_of_every_copy_can_be_ticked(name: str, rib: str | None) -> None:
    """By tens, each row once; short rows by themselves."""
    plan = plan_for(name, rib)
    ticks = [b for part in sheet_of(plan).parts for b in part.blocks if isinstance(b, Ticks)]
    rows = [row for t in ticks for ten in t.tens for row in ten]
    assert len(rows) == sum(p.copies * sum(s.rows for s in p.sections) for p in plan.option.pieces)
    assert all(len(ten) <= 10 and (ten[0] - 1) // 10 == (ten[-1] - 1) // 10 for t in ticks for ten in t.tens)
    assert len({t.name for t in ticks}) == len(ticks)


@every_item
def test_steps_are_numbered_through_and_say_what_the_simulator_followed(name: str, rib: str | None) -> None:
    """One numbered step on the sheet for each neutral step, in order."""
    plan = plan_for(name, rib)
    sheet, pieces = sheet_of(plan), plan_steps(plan)
    lists = [b for part in sheet.parts for b in part.blocks if isinstance(b, StepList)]
    numbers = [n for block in lists for n in range(block.first, block.first + len(block.steps))]
    assert numbers == [n for piece in pieces for n in range(1, len(piece.steps) + 1)]
    assert steps_text(sheet) == [" ".join(step_words(s, Terms(unit="in"), p)) for p in pieces for s in p.steps]


@every_item
@pytest.mark.parametrize("reader", READERS)
def test_text_folds_and_markdown_holds_the_same(name: str, rib: str | None, reader: str) -> None:
    """No line over the width but commands to copy; and nothing that is in the text is missing in Markdown."""
    sheet = sheet_of(plan_for(name, rib), reader)
    for width in (40, 80):
        lines = text_of(sheet, width).splitlines()
        assert all(len(line) <= width for line in lines if "pegwright adjust" not in line)
    text, marked = text_of(sheet, 10_000), markdown_of(sheet)
    for step in steps_text(sheet):
        assert step in text
        assert plain(step) in marked


def test_a_hat_in_words() -> None:
    """The drawn start, the rule of the rib, the check and the closing, by the numbers of the plan."""
    text = " ".join(text_of(sheet_of(plan_for("hat")), 10_000).split())
    for words in (
        "First round, woven: lay the yarn outside pegs 1, 3, 5, … 83 and inside pegs 2, 4, 6, … 84, "
        "round none of them.",
        "That is 42 strands across the outside; it must be able to slide.",
        "Now pegs 1, 3, 5, … 83 hold two strands, and pegs 2, 4, 6, … 84 hold one.",
        "Leave pegs 2, 4, 6, … 84 as they are: their one loop is a stitch already, and row 1 knits it over.",
        "Rows 1 to 32, 84 pegs a row: knit every peg.",
        "measure the last 10 rows: they should be 2 in. Over 4 in count 16 stitches and 20 rows.",
        "what you counted: pegwright does it under On the loom, or by the command adjust from a plan that is kept.",
        "Rows 33 to 42, 84 pegs a row: knit 1 peg, purl 1 peg, and so on. The 2 pegs repeat 42 times",
        "After row 42 it measures 8 1/2 in from the start.",
        "long (30 pegs) and short (18 pegs), from the left, joined end to end",
        "2 spacers at every bolt (12 bolts, 24 in all)",  # 2 × 2 sides + 2 ends, 2 bolts each
        "36 pegs of each side and 6 of each end, 84 in all; 12 of each side, past the right end, stay empty",
        "Add 2 long side boards, 1 on each side.",
        "Knot the yarn twice on the inside.",
        "21 in; 4 in 5 come out 20 to 22 in",
    ):
        assert words in text


def test_words_for_both_readers() -> None:
    """Bind off, stockinette and gauge, or cast off, stocking stitch and tension; never both on one sheet."""
    us, uk = (text_of(sheet_of(plan_for("mittens"), reader)).lower() for reader in READERS)
    for key, entry in read_toml(HERE / "words.toml").items():
        assert set(entry) == set(READERS), key
        if key in ("plain", "gauge", "yarn_needle", "scrap_yarn", "color"):
            assert re.search(rf"\b{entry['us']}\b", us), key
            assert not re.search(rf"\b{entry['us']}\b", uk), key
            assert re.search(rf"\b{entry['uk']}\b", uk), key
    assert "bind off" in us
    assert "cast off" not in us
    assert "cast off" in uk
    assert "bind" not in uk


def test_every_word_is_used() -> None:
    """A key of words.toml that no sentence asks for would be dead."""
    source = "".join(p.read_text(encoding="utf-8") for p in sorted((HERE.parent / "solver").rglob("*.py")))
    for key in read_toml(HERE / "words.toml"):
        assert f"{{{key}}}" in source or f'"{key}"' in source, key


@pytest.mark.parametrize(
    ("um", "unit", "words"),
    [
        (533_400, "in", "21"), (536_000, "in", "21"), (536_574, "in", "21"), (536_575, "in", "21 1/4"),
        (6_350, "in", "1/4"), (50_800, "in", "2"), (60_325, "in", "2 1/2"), (215_900, "in", "8 1/2"),
        (533_400, "cm", "53.5"), (532_499, "cm", "53"), (532_500, "cm", "53.5"), (50_000, "cm", "5"),
    ],
)  # fmt: skip
def test_lengths_as_a_tape_shows_them(um: int, unit: str, words: str) -> None:
    """To a quarter inch or half a centimetre, halves upwards: 21 1/8 in is 536 575 µm."""
    assert tape_number(um, unit) == words


def test_small_lengths_are_never_nothing() -> None:
    """Under an eighth of an inch the tape is too coarse."""
    assert Terms(unit="in").tape(2_540) == "0.1 in"
    assert Terms(unit="cm").tape(2_000) == "0.2 cm"


def test_counts_to_a_half() -> None:
    """4 in at 6.351 mm a stitch is 15.997; 15.748 and 15.751 lie either side of 15 3/4; quarters go upwards."""
    assert halves(101_600, 6_351) == "16"
    assert halves(100_000, 6_350) == "15 1/2"
    assert halves(100_000, 6_349) == "16"
    assert halves(100_000, 80_000) == "1 1/2"


def test_pegs_in_words() -> None:
    """One, a run either way, every other."""
    assert some(range(7, 8)) == "peg 7"
    assert some(range(1, 85)) == "pegs 1 to 84"
    assert some(range(18, 0, -1)) == "pegs 18 to 1"
    assert some(range(1, 9, 2)) == "pegs 1, 3, 5 and 7"
    assert some(range(2, 85, 2)) == "pegs 2, 4, 6, … 84"


def test_likely_range_is_that_of_the_plan() -> None:
    """The sheet's range is girth_likely_mm, to the tape's marks."""
    plan = plan_for("hat", unit="cm")
    low, high = (round(mm * 1000) for mm in plan.option.girth_likely_mm)
    facts = dict(row for p in sheet_of(plan).parts for b in p.blocks if isinstance(b, Facts) for row in b.rows)
    assert facts["Round"].endswith(Terms(unit="cm").between(low, high))


def test_a_saved_plan_is_named_in_the_command() -> None:
    """So that it can be copied; a name with a space is quoted."""
    sheet = sheet_of(plan_for("hat"), file="my hat.json")
    checks = [b for part in sheet.parts for b in part.blocks if isinstance(b, CheckUp)]
    assert len(checks) == 1
    assert checks[0].command.startswith("pegwright adjust 'my hat.json' --rows-done 10 ")
    assert not any("PLAN" in line for line in text_of(sheet_of(plan_for("hat")), 80).splitlines())


def test_openings_and_cups_lie_where_the_plan_has_them() -> None:
    """The mitten's opening comes after its first plain rows, with half the thumb's pegs; a sock begins with its toe."""
    mitten = plan_for("mittens")
    hand, thumb = mitten.option.pieces[0], mitten.option.pieces[1]
    steps = list(plan_steps(mitten)[0].steps)
    i = next(i for i, s in enumerate(steps) if isinstance(s, Opening))
    before = steps[i - 1]
    assert isinstance(before, Rows)
    assert before.last == rows_before_opening(hand)
    opening = steps[i]
    assert isinstance(opening, Opening)
    assert len(opening.pegs) == thumb.pegs // 2  # an odd thumb, worked flat, takes both half loops of the corners
    kinds = [type(s) for s in plan_steps(plan_for("socks"))[0].steps if isinstance(s, Rows | ShortRows)]
    assert kinds == [ShortRows, Rows, ShortRows, Rows, Rows]


def test_a_thumb_on_another_loom_has_its_own_loom_and_gauge() -> None:
    """A thumb rake with 21 stitches over 120 mm against the hand's own; each length by its gauge."""
    small = {**RAKE_SWATCH, "loom": "thumb rake", "stitches": {"count": 21, "over": "120 mm"}}
    kit = kit_with(
        ("swatch.0", RAKE_SWATCH), ("swatch.1", small), ("loom.3", THUMB_RAKE), ("wearer.0", WEARER),
        ("yarn.0.wraps_per_inch", 13),
    )  # fmt: skip
    plan = plan_of(answer(kit, MITTENS, 1), MITTENS)
    hand, thumb = plan_steps(plan)
    assert (hand.loom, thumb.loom) == ("rake", "thumb rake")
    assert plan.ways[0].gauge.width_um != plan.ways[1].gauge.width_um
    assert thumb.rows[-1].done.length_um == round(plan.option.pieces[1].length_mm * 1000)
    text = text_of(sheet_of(plan), 10_000)
    assert re.search(r"Set up the loom \(thumb\)\n(.*\n)? *Loom +thumb rake\n", text)
    assert "The thumb rake from above" not in text  # drawings are for pages
    assert f"{thumb.pegs} pegs: set the movable end there" in text


def rows_before_opening(piece: PiecePlan) -> int:
    """Rows of all pegs before the opening of a piece."""
    names = [s.kind for s in piece.sections]
    return sum(s.rows for s in piece.sections[: names.index("opening")])


@pytest.mark.parametrize(
    "text", ["*loud*", "a_b_c", "<b>x</b>", "1. first", "- dash", "a | b", "`code`", "# head", "~~x~~"]
)
def test_names_never_turn_into_markup(text: str) -> None:
    """Looms and yarns may be called anything."""
    marked = plain(text)
    assert marked != text
    assert re.sub(r"\\(.)", r"\1", marked) == text


def test_the_run_of_rows_leaves_nothing_out() -> None:
    """Whoever ticks from the top meets the opening, the check and the ends where they come, in every copy."""
    text = text_of(sheet_of(plan_for("mittens")), 10_000)
    run = [line.strip() for line in text.partition("Rows to tick off")[2].splitlines() if line.strip()]
    for copy in ("1", "2"):
        mine = [line for line in run if f"hand, {copy} of 2" in line]
        named = [line.partition(f"hand, {copy} of 2: ")[2] for line in mine]
        order = [
            i for i, words in enumerate(named) if words.startswith(("check", "the opening", "binding", "the start"))
        ]
        assert [named[i].split()[0:2] for i in order] == [
            ["check", "after"], ["the", "opening:"], ["binding", "off"], ["the", "start"],
        ]  # fmt: skip
        assert named[order[1] + 1] == "stockinette", "rows go on after the opening"


@pytest.mark.parametrize("name", ["ball", "bolster", "toy"])
def test_what_is_closed_all_round_is_filled_first_and_fastened_outside(name: str) -> None:
    """No knot is asked for on an inside that is out of reach."""
    text = " ".join(text_of(sheet_of(plan_for(name)), 10_000).split())
    fills = [found.start() for found in re.finditer("Fill it through the end", text)]
    closes = [found.end() for found in re.finditer("Pull the cut end .*? until the hole is shut. ", text)]
    assert len(fills) == len(closes) >= 1
    for fill, close in zip(fills, closes, strict=True):
        assert fill < close
        fastened = re.split(r" (?!Sew it on)[A-Z][a-z ]+ \(|When it is done", text[close:])[0]
        assert "fasten off outside" in fastened
        assert "sink the tail" in fastened
        assert "Knot" not in fastened


@every_item
@pytest.mark.parametrize("reader", READERS)
def test_whatever_a_step_takes_up_lies_ready(name: str, rib: str | None, reader: str) -> None:
    """Needle, hook, scrap yarn, filling: what a step has in hand was on the list of what is needed, and no more."""
    sheet = sheet_of(plan_for(name, rib), reader)
    (needs,) = (b for b in sheet.parts[0].blocks if isinstance(b, Facts))
    listed = " ".join(f"{what} {words}" for what, words in needs.rows).lower()
    worked = " ".join(steps_text(sheet)).lower()
    words = {key: entry[reader] for key, entry in read_toml(HERE / "words.toml").items()}
    for thing in (words["scrap_yarn"], "filling"):
        assert (thing in worked) == (thing in listed), thing
    assert words["yarn_needle"] in listed

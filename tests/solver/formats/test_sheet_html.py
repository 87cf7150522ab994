"""The HTML page: valid, complete in itself, readable in light and dark; in a browser nothing is cut off or overlaps,
and on paper nothing is torn."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import html5lib
import pytest
from hypothesis import HealthCheck, given, settings

from solver.formats.blocks import CheckUp, Drawing, Facts, Sheet, StepList, Ticks
from solver.formats.html import html_of
from solver.formats.looms import LoomPicture, LoomShape, loom_picture
from solver.formats.tubes import TubePicture
from solver.model.ask import Pins
from solver.page.contents import sheet_of
from solver.plan.answer import answer
from solver.plan.saved import plan_of
from solver.steps.of_plan import plan_steps
from tests.kits.page_style import CSS, colours
from tests.kits.randomkits import cases
from tests.kits.sheetplans import CASES, plan_for
from tests.solver.against import told
from tests.solver.formats import browser
from tests.solver.steps.loomsim import Loom

SHOWN = [
    ("hat", "1x1", "in"),
    ("mittens", "3x1", "cm"),
    ("socks", None, "in"),
    ("panel", "2x1", "cm"),
    ("toy", None, "in"),
]


@cache
def sheet_for(name: str, rib: str | None = None, unit: str = "in") -> Sheet:
    """The sheet of an item's best option."""
    return sheet_of(plan_for(name, rib, unit), "uk" if unit == "cm" else "us")


@cache
def page_for(name: str, rib: str | None = None, unit: str = "in") -> str:
    """Its page."""
    return html_of(sheet_for(name, rib, unit))


@pytest.mark.parametrize(("name", "rib"), CASES)
def test_pages_are_valid_and_ask_for_nothing(name: str, rib: str | None) -> None:
    """html5lib finds no error; no address, no script, no file from outside; every link leads somewhere on the page."""
    page = page_for(name, rib)
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    assert not re.search(r"https?:|//|url\(|@import|<script|\ssrc=", page.replace('href="data:,"', ""))
    ids = [e.get("id") for e in tree.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert {e.get("href")[1:] for e in tree.iter("a")} <= set(ids)
    names = [e.get("name") for e in tree.iter("input")]
    assert len(names) == len(set(names))
    drawings = [e for e in tree.iter() if str(e.tag).endswith("svg")]
    assert all(e.get("aria-label") or any(str(t.tag).endswith("title") and t.text for t in e) for e in drawings)
    rows = [e.get("aria-label") for e in tree.iter("input") if e.get("aria-label")]
    assert rows
    assert all(re.search(r", row \d+$", row) for row in rows)


def test_dashes_are_of_ink() -> None:
    """A background is not printed: what marks a point of a list is a character."""
    assert re.search(r'ul > li::before \{ content: "–"', CSS)
    assert re.search(r'\.care > li::before \{ content: "!"', CSS)


def test_a_cup_has_no_gathering_folds() -> None:
    """A short-row toe is shut and not gathered; a crown is both."""
    tubes = {
        name: [b.picture for p in sheet_for(name, "1x1").parts for b in p.blocks if isinstance(b, Drawing)][-1]
        for name in ("socks", "hat")
    }
    folds = {name: [d for d in tube.lines if "l" in d] for name, tube in tubes.items() if isinstance(tube, TubePicture)}
    assert folds["socks"] == []
    assert len(folds["hat"]) == 5


def test_names_are_escaped() -> None:
    """A loom may be called anything."""
    page = html_of(replace(sheet_for("hat"), title='<script>alert("x")</script> & "co"'))
    assert "<script" not in page
    assert "&lt;script&gt;" in page


def luminance(colour: str) -> float:
    """WCAG 2 relative luminance of #rrggbb."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2 contrast ratio, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


TEXTS = [("ink", "paper"), ("soft", "paper"), ("mark", "paper"), ("ink", "mark-paper"), ("warn", "warn-paper")]
SHAPES = [("ink", "board"), ("purl", "board"), ("mark", "board"), ("soft", "board"), ("purl", "peg"), ("ink", "card"),
          ("soft", "card"), ("warn", "card"), ("mark", "paper"), ("soft", "mark-paper"), ("line", "paper"),
          ("mark", "card"), ("ink", "paper")]  # fmt: skip


def test_contrast_is_enough_in_light_and_dark() -> None:
    """WCAG AA: 4.5 for text, 3 for what a drawing tells; black against white is 21, as the definition says."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    for scheme, known in colours().items():
        assert set(re.findall(r"var\(--([a-z-]+)\)", CSS)) <= set(known)
        for front, back in TEXTS:
            assert contrast(known[front], known[back]) >= 4.5, (scheme, front, back)
        for front, back in SHAPES:
            assert contrast(known[front], known[back]) >= 3, (scheme, front, back)


def test_knit_and_purl_differ_in_shape_and_in_tone() -> None:
    """A circle against a square, and so far apart in tone that grey print keeps it."""
    page = page_for("hat", "1x1")
    assert page.count('<circle class="knit"') == 84 + 42  # both drawings have 84 pegs; in the second 42 are purl
    assert page.count('<rect class="purl"') == 42
    assert page.count('<path class="begun"') == 42
    for known in colours().values():
        assert contrast(known["peg"], known["purl"]) >= 7


def pictures(name: str, rib: str | None = None) -> list[LoomPicture]:
    """The drawings of looms on a sheet."""
    drawings = [b.picture for p in sheet_for(name, rib).parts for b in p.blocks if isinstance(b, Drawing)]
    return [picture for picture in drawings if isinstance(picture, LoomPicture)]


def test_the_loom_is_drawn_to_scale() -> None:
    """Pegs one pitch apart all along, the join after the long board's 30 pegs, the right end past peg 36."""
    picture = pictures("hat", "1x1")[0]
    pegs = {p.number: p for p in picture.pegs if p.number}
    assert sorted(pegs) == list(range(1, 85))
    pitch = (pegs[36].x - pegs[1].x) / 35
    assert all(pegs[i + 1].x - pegs[i].x == pytest.approx(pitch, abs=0.02) for i in range(1, 36))
    assert all(pegs[i].x - pegs[i + 1].x == pytest.approx(pitch, abs=0.02) for i in range(43, 78))
    assert pegs[1].y - pegs[78].y == pytest.approx(7 * pitch, rel=0.002)  # 6 pegs on the end, and to either side
    assert {round(x - (pegs[30].x + pitch / 2), 1) for x, *_ in picture.joins} == {0.0}
    assert sum(not p.number for p in picture.pegs) == 24
    boards = sorted(p.width / pitch for p in picture.planks if p.width > p.height)
    assert boards == pytest.approx([18, 18, 30, 30], abs=0.02)


@pytest.mark.parametrize("pegs", [12, 40, 61, 200, 400])
def test_rings_of_any_size_fit_their_drawing(pegs: int) -> None:
    """All pegs inside, evenly round, peg 1 nearest to you, numbered against the clock."""
    picture = loom_picture(LoomShape(pegs, "K" * pegs, ring=pegs), "")
    assert all(0 < p.x < picture.width and 0 < p.y < picture.height for p in picture.pegs)
    assert picture.pegs[0].y == max(p.y for p in picture.pegs)
    assert picture.pegs[1].x > picture.pegs[0].x
    gaps = {
        round(((a.x - b.x) ** 2 + (a.y - b.y) ** 2) ** 0.5, 1)
        for a, b in zip(picture.pegs, picture.pegs[1:], strict=False)
    }
    assert max(gaps) - min(gaps) < 0.15


LOOMS = [
    LoomShape(
        84, "K" * 84, tuple(range(1, 85, 2)), along=36, boards=(("long", 30), ("short", 18)), across=6, end="end"
    ),
    LoomShape(36, "KP" * 18, tuple(range(1, 37, 2)), along=12, boards=(("short", 12),), across=6),
    LoomShape(96, "K" * 96, tuple(range(1, 97, 2)), along=48, boards=(("", 60),), to_scale=False),
    LoomShape(40, "K" * 40, tuple(range(1, 41, 2)), ring=40),
    LoomShape(120, "K" * 120, tuple(range(1, 121, 2)), ring=120),
    LoomShape(30, "K" * 30, flat=True, along=30, boards=(("long", 30),)),
]


@pytest.mark.parametrize("shape", LOOMS)
def test_numbers_touch_neither_boards_nor_pegs(shape: LoomShape) -> None:
    """Of each number: digits 9 wide and 13 high, against planks, rim and the strands past pegs."""
    picture = loom_picture(shape, "")
    for label in (each for each in picture.labels if each.text.isdigit()):
        wide = 9 * len(label.text)
        left = label.x - {"middle": wide / 2, "end": wide, "start": 0}[label.anchor]
        box = (left, label.y - 13, left + wide, label.y)
        for plank in picture.planks:
            other = (plank.x, plank.y, plank.x + plank.width, plank.y + plank.height)
            assert not (box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3]), label
        for peg in picture.pegs:
            near = (min(max(peg.x, box[0]), box[2]), min(max(peg.y, box[1]), box[3]))
            away = ((near[0] - peg.x) ** 2 + (near[1] - peg.y) ** 2) ** 0.5
            assert away > picture.radius * (1.55 if peg.past else 1), label


def test_a_slider_shows_what_stays_empty() -> None:
    """60 of 96 pegs: 36 beyond the movable end, and an odd peg at the fixed one."""
    shape = LoomShape(61, "K" * 61, along=30, boards=(("", 48),), odd=True, to_scale=False)
    picture = loom_picture(shape, "")
    assert sorted(p.number for p in picture.pegs if p.number) == list(range(1, 62))
    assert sum(not p.number for p in picture.pegs) == 36


@pytest.mark.parametrize(("name", "rib", "unit"), SHOWN)
@pytest.mark.parametrize("width", [browser.PHONE, browser.A4])
def test_nothing_is_cut_off_or_overlaps(name: str, rib: str | None, unit: str, width: int, tmp_path: Path) -> None:
    """In a browser every line of text lies on the page, in its drawing, and apart from every other."""
    seen = browser.measured(page_for(name, rib, unit), tmp_path, width)
    assert seen["texts"] > 100
    assert seen["wrong"] == []
    assert seen["scroll"] <= width
    assert seen["fetched"] == []
    assert seen["least"] >= 9  # px: the smallest text of a drawing
    assert seen["ticks"]
    assert min(seen["ticks"]) >= 44  # px: to be hit with yarn in hand
    assert seen["peg"] >= 7  # px: a peg, wherever it is drawn


@pytest.mark.parametrize("width", [browser.PHONE, 600, 900])
def test_a_drawing_wider_than_the_page_shows_that_it_goes_on(width: int, tmp_path: Path) -> None:
    """It was cut at the edge of a phone as if it ended there: words, a shade at the edge, and keys that reach it."""
    wider = browser.measured(page_for("hat", "1x1", "in"), tmp_path, width)["wider"]
    assert len(wider) == 2 or width == 900
    for tab, image, attachment, words in wider:
        assert tab == 0
        assert image.count("linear-gradient") == 4
        assert attachment == "local, local, scroll, scroll"
        assert "drag it sideways, or click it and use the arrow keys" in words


def test_the_measuring_finds_what_is_wrong(tmp_path: Path) -> None:
    """A page with two texts on one spot, one text off its drawing and one off the page."""
    page = (
        '<!DOCTYPE html><title>x</title><svg viewBox="0 0 100 100" width="100"><text x="5" y="50">one</text>'
        '<text x="8" y="52">two</text><text x="90" y="90">beyond it</text></svg><p style="margin-left:350px;'
        'white-space:nowrap">much too far to the right'
    )
    wrong = browser.measured(page, tmp_path, browser.PHONE)["wrong"]
    assert "overlap: one / two" in wrong or "overlap: two / one" in wrong
    assert "off its drawing: beyond it" in wrong
    assert any(w.startswith("off the page") for w in wrong)


def test_the_browser_complains_of_nothing(tmp_path: Path) -> None:
    """No console message, nothing fetched; and a page that does log is caught."""
    assert browser.complaints(page_for("mittens", "3x1", "cm"), tmp_path) == []
    assert browser.complaints("<!DOCTYPE html><title>x</title><script>console.error('oh')</script>", tmp_path)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_print_tears_nothing(paper: str, tmp_path: Path) -> None:
    """Every step, fact, check, ten of rows and drawing stands whole on one page."""
    from pypdf import PdfReader

    page = page_for("mittens", "3x1", "cm").replace("@page {", f"@page {{ size: {paper};")
    reader = PdfReader(browser.printed(page, tmp_path))
    assert {round(float(p.mediabox.width)) for p in reader.pages} == {{"A4": 595, "Letter": 612}[paper]}
    pages = [squeezed(p.extract_text()) for p in reader.pages]
    assert len(pages) > 2
    for whole in pieces(sheet_for("mittens", "3x1", "cm")):
        assert any(squeezed(whole) in each for each in pages), whole


def squeezed(text: str) -> str:
    """A text without its spaces, which a PDF may place otherwise, and with no ligature (ff, fi, fl) of its font."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))


def pieces(sheet: Sheet) -> list[str]:
    """What must not be torn."""
    found: list[str] = []
    for block in (b for part in sheet.parts for b in part.blocks):
        if isinstance(block, StepList):
            found += [f"{n}{''.join(words)}" for n, words in enumerate(block.steps, block.first)]
        elif isinstance(block, Facts):
            found.append("".join(name + text for name, text in block.rows))
        elif isinstance(block, CheckUp):
            found.append("".join(block.sentences))
        elif isinstance(block, Ticks):
            found += ["".join(map(str, ten)) for ten in block.tens]
    return found


@given(cases())
@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
def test_any_kit_gives_a_sheet(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
    """Rings, sliders, frames of any boards and names: the steps knit, the page is valid, each peg is drawn once."""
    kit, wish, _, _ = told(*case)
    got = answer(kit, wish, 3)
    for rank in range(1, len(got.report.options) + 1):
        plan = plan_of(got, wish, None, rank)
        for steps in plan_steps(plan):
            Loom(steps.pegs, steps.flat).follow(steps.steps).finish()
        sheet = sheet_of(plan)
        html5lib.HTMLParser(strict=True).parse(html_of(sheet))
        for picture in (b.picture for p in sheet.parts for b in p.blocks if isinstance(b, Drawing)):
            if isinstance(picture, LoomPicture):
                numbers = sorted(p.number for p in picture.pegs if p.number)
                assert numbers == list(range(1, plan.option.pegs + 1))
                assert len({(p.x, p.y) for p in picture.pegs}) == len(picture.pegs)
                assert all(0 < p.x < picture.width and 0 < p.y < picture.height for p in picture.pegs)


@pytest.mark.parametrize(("loom", "girth"), [("porch ring", 355_600), ("long rake", 482_600)])
def test_rings_and_sliders_are_readable(loom: str, girth: int, tmp_path: Path) -> None:
    """Their drawings in a browser, on a phone."""
    plan = plan_for("hat", around_um=girth, pins=Pins(loom=loom))
    page = html_of(sheet_of(plan))
    seen = browser.measured(page, tmp_path, browser.PHONE)
    assert seen["wrong"] == []
    assert ("corner" in page) == (loom == "long rake")

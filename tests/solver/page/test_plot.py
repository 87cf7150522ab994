"""Pictures of the choice: what is drawn stands where its numbers say, on a page that is valid and readable."""

from __future__ import annotations

import re
import struct
import sys
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.errors import InputError
from catalog.kit import built_in_kit, load_kit
from solver.asking.wish import Wish
from solver.formats.plots import Dot, PlotPicture, Strip, StripPicture, plot_picture, span, strip_picture
from solver.model.ask import Pins
from solver.page.choice_words import figures, heads
from solver.page.plot import STYLE, choice_page, plot_file, plot_svg, strips_of
from solver.page.why_not import why_not_page
from solver.plan.answer import answer
from solver.report.find import FindReport
from solver.why.check import check
from solver.why.explain import explain
from solver.why.limits import cell_limits
from solver.why.reach import girths_in_reach
from tests.command import pegwright
from tests.kits.page_style import colours
from tests.kits.sheetplans import answer_for, wish_for
from tests.solver.formats import browser

SVG = "{http://www.w3.org/2000/svg}"
TOP = 12


@cache
def report() -> FindReport:
    """The best hats of the built-in kit."""
    return answer_for("hat", top=TOP).report


@cache
def page() -> str:
    """Their page."""
    return choice_page(answer_for("hat", top=TOP), wish_for("hat"))


def drawn(*dots: tuple[float, float, bool]) -> PlotPicture:
    """A plot of (yarn, miss, front)."""
    return plot_picture([Dot(str(i), x, y, front, "", "") for i, (x, y, front) in enumerate(dots, 1)], "", "", "")


def test_every_option_stands_where_its_numbers_say() -> None:
    """Left is less yarn, low is a likelier fit; the axes, read by their own ticks, give the numbers back."""
    picture = drawn((100, 10, True), (120, 5, True), (130, 20, False))
    x0, x1 = picture.x_ticks[0], picture.x_ticks[-1]
    y0, y1 = picture.y_ticks[0], picture.y_ticks[-1]
    for placed in picture.dots:
        x = float(x0.text) + (placed.x - x0.at) / (x1.at - x0.at) * (float(x1.text) - float(x0.text))
        y = float(y0.text) + (placed.y - y0.at) / (y1.at - y0.at) * (float(y1.text) - float(y0.text))
        assert x == pytest.approx(placed.dot.x, abs=0.05)
        assert y == pytest.approx(placed.dot.y, abs=0.05)


def test_the_front_is_drawn_through_its_points() -> None:
    """In order of yarn, and through no other point."""
    picture = drawn((100, 10, True), (130, 20, False), (120, 5, True), (90, 30, True))
    at = {p.dot.label: (p.x, p.y) for p in picture.dots}
    line = [tuple(map(float, pair.split(","))) for pair in re.findall(r"[\d.]+,[\d.]+", picture.front)]
    assert line == [at["4"], at["1"], at["3"]]


def test_one_option_or_none_is_drawn_too() -> None:
    """A single point has no line; nothing found is an empty plot."""
    assert drawn((100, 10, True)).front == ""
    assert drawn().dots == []


@given(st.lists(st.tuples(st.floats(0, 5000), st.floats(0, 200), st.booleans()), min_size=1, max_size=9))
@settings(max_examples=150, deadline=None, derandomize=True)
def test_labels_keep_apart_and_inside(dots: list[Any]) -> None:
    """However the points lie, up to nine labels touch neither each other nor the edge."""
    picture = drawn(*dots)
    boxes = [(p.label_x - 5, p.label_y - 13, p.label_x + 5, p.label_y + 2) for p in picture.dots]
    for i, a in enumerate(boxes):
        assert a[0] >= 0
        assert a[1] >= 0
        assert a[2] <= picture.width
        assert a[3] <= picture.height
        assert not any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for b in boxes[:i])


@given(st.lists(st.floats(0, 1e6), min_size=1, max_size=20))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_axes_hold_their_values(values: list[float]) -> None:
    """In a few steps of 1, 2 or 5."""
    low, high, step = span(values)
    assert low <= min(values)
    assert max(values) <= high
    assert 2 <= round((high - low) / step) <= 9
    assert f"{step:e}"[0] in "125"


def test_the_file_is_one_svg() -> None:
    """Well formed, a diamond for each option of the front and a circle for each other, and nothing from outside."""
    text = plot_svg(report(), "in")
    root = ElementTree.fromstring(text)
    assert root.tag == SVG + "svg"
    marks = [e.get("class") for e in root.iter()]
    assert marks.count("best") == sum(o.front for o in report().options)
    assert marks.count("other") == sum(not o.front for o in report().options)
    assert re.findall(r"https?://\S*?\"", text) == ['http://www.w3.org/2000/svg"']
    assert {t.text for t in root.iter(SVG + "text")} >= {str(o.rank) for o in report().options}


def test_file_and_page_have_the_same_colours() -> None:
    """The file carries the light page's."""
    assert set(re.findall(r"#[0-9a-f]{6}", STYLE)) <= set(colours()["light"].values())


def test_png_is_the_same_picture(tmp_path: Path) -> None:
    """1120 by 800 pixels, and not blank."""
    data = plot_file(report(), "in", tmp_path / "out.PNG")
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", data[16:24]) == (1120, 800)
    assert len(data) > 5000


def test_what_cannot_be_drawn_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """An ending that is neither, and PNG without the library that draws it."""
    with pytest.raises(InputError, match=r"plot: found .*out.gif.*, expected a name that ends in .svg or .png"):
        plot_file(report(), "in", Path("out.gif"))
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(InputError, match=r"pegwright\[png\]"):
        plot_file(report(), "in", Path("out.png"))
    assert plot_file(report(), "in", Path("out.svg")).startswith(b"<svg")


def test_sizes_in_reach_by_hand() -> None:
    """A ring has its 40 pegs at every width of a yarn that suits it; the rake every even count from 16 to 96."""
    ask = answer_for("hat", top=TOP).ask
    reach = girths_in_reach(cell_limits(ask))
    assert list(reach) == ["attic frame", "long rake", "porch ring"]
    widths = {name: {w.width_um for w in ask.ways if w.loom.name == name} for name in reach}
    ring = {40 * w for w in widths["porch ring"]}
    assert set(reach["porch ring"].reckoned) <= ring
    assert reach["porch ring"].measured == ()  # nothing was measured on it
    assert set(reach["long rake"].reckoned) <= {n * w for n in range(16, 97, 2) for w in widths["long rake"]}
    measured = [w for w in ask.ways if w.basis == "measured"]
    pegs = {2 * (k + 6) for k in range(4, 49)}  # up to 30 + 18 pegs a side, 6 on each end, 30 mm apart for a hook
    assert set(reach["attic frame"].measured) == {n * w.width_um for n in pegs for w in measured}


def test_strips_show_what_is_near() -> None:
    """From half the wanted size to half as much again, each stroke at its place on the scale."""
    picture = strip_picture([Strip("a", (10.0, 20.0), (5.0, 25.0, 31.0))], (20.0, 19.0, 21.0), "", "", "")
    assert len(picture.tall) == 2
    assert len(picture.short) == 1  # 5 and 31 lie outside 10 … 30
    at = {t.text: t.at for t in picture.ticks}
    assert picture.wanted == at["20"]
    assert picture.tall[1].startswith(f"M{at['20']},")
    assert picture.limits[0] < picture.wanted < picture.limits[1]


def test_the_page_is_valid_and_every_point_leads_to_its_sheet() -> None:
    """html5lib finds no error; ids are unique; each option has a row, a point and a sheet."""
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page())
    ids = [e.get("id") for e in tree.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    names = [e.get("name") for e in tree.iter("input")]
    assert len(names) == len(set(names))
    links = [e.get("href") for e in tree.iter() if str(e.tag).split("}")[-1] == "a"]
    for option in report().options:
        assert links.count(f"#option-{option.rank}") == 2  # from the table and from the plot
    assert {link[1:] for link in links} <= set(ids)
    assert not re.search(r"https?:|url\(|@import|<script|\ssrc=", page().replace("http://www.w3.org/2000/svg", ""))


@pytest.mark.parametrize("width", [browser.PHONE, browser.A4])
def test_nothing_on_the_page_is_cut_off_or_overlaps(width: int, tmp_path: Path) -> None:
    """Table, plot, strips and sheets in a browser."""
    texts: list[int] = []
    for sheet_open in ("", " open"):
        text = page().replace(
            '<details class="sheet" name="sheet">', f'<details class="sheet" name="sheet"{sheet_open}>', 1
        )
        seen = browser.measured(text, tmp_path, width)
        assert seen["wrong"] == []
        assert seen["scroll"] <= width
        assert seen["fetched"] == []
        texts.append(seen["texts"])
    assert texts[1] > texts[0] + 100


def test_the_browser_complains_of_nothing(tmp_path: Path) -> None:
    """No console message."""
    assert browser.complaints(page(), tmp_path) == []


def test_the_page_draws_what_check_says(monkeypatch: pytest.MonkeyPatch) -> None:
    """One loom, two screens: the page drew a stroke at 20.05 in where `check` said that 18.8 in is the nearest."""
    strips: list[Strip] = []

    def keep(each: Sequence[Strip], *more: Any) -> StripPicture:
        strips.extend(each)
        return strip_picture(each, *more)

    kit = load_kit(Path(__file__).parents[3] / "examples/lantern-hall/kit.toml")
    wish = Wish("hat", wearer="the ferryman", unit="in")
    said = {each.loom: each for each in check(kit, wish).looms}
    monkeypatch.setattr("solver.page.plot.strip_picture", keep)
    choice_page(answer(kit, wish, 1), wish)
    assert "18.8 in" in said["green ring"].says
    for strip in strips:
        strokes = sorted({*strip.measured, *strip.reckoned})
        ends = (said[strip.name].least_mm, said[strip.name].most_mm)
        assert (strokes[0] * 25.4, strokes[-1] * 25.4) == pytest.approx(ends)
        assert len(strokes) == said[strip.name].girths


def test_terminal_and_page_have_the_same_columns() -> None:
    """Every figure of the table of `find` stands on the page, under the same name."""
    for name in heads(report().options):
        assert f'<th scope="col">{name}</th>' in page()
    for option in report().options:
        for cell in figures(option, "in")[1:]:
            assert f">{cell}</td>" in page()


def test_a_link_opens_the_sheet_that_it_leads_to(tmp_path: Path) -> None:
    """All sheets are folded; the address of one opens that one alone, without a script."""
    file = tmp_path / "page.html"
    file.write_text(page(), encoding="utf-8")

    def opened(address: str) -> list[str]:
        dom = browser.run("--virtual-time-budget=2000", "--dump-dom", address).stdout
        return re.findall(r'<details class="sheet"[^>]* open[^>]*>\s*<summary>Option (\d+)', dom)

    assert opened(file.as_uri()) == []
    assert opened(f"{file.as_uri()}#option-3") == ["3"]


def test_the_table_is_printed_and_no_folded_sheet(tmp_path: Path) -> None:
    """A few pages for the choice; with a sheet open, that sheet alone."""
    from pypdf import PdfReader

    def printed(text: str) -> list[str]:
        return [page.extract_text() for page in PdfReader(browser.printed(text, tmp_path)).pages]

    choice = printed(page())
    assert len(choice) <= 4
    assert "Ways to make it" in choice[0]
    assert not any("Cast on" in each for each in choice)
    opened = printed(
        page().replace('<details class="sheet" name="sheet">', '<details class="sheet" name="sheet" open>', 1)
    )
    assert not any("Ways to make it" in each for each in opened)
    assert any("Cast on" in each for each in opened)
    assert any("Option 1." in each for each in opened)
    assert not any("Option 2." in each for each in opened)


def test_links_of_the_plot_are_read() -> None:
    """A plot whose dots lead somewhere is no single image, and each link says which option it is."""
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page())
    plot = next(e for e in tree.iter() if str(e.tag).endswith("svg"))
    assert plot.get("role") == "group"
    links = [e.get("aria-label") for e in plot.iter() if str(e.tag).endswith("a")]
    assert len(links) == len(report().options)
    assert all(name and name.startswith("Option ") and "likely miss" in name for name in links)
    assert 'role="img"' in plot_svg(report(), "in")


def why_not() -> str:
    """The page of a hat that no loom of the kit can make."""
    kit, wish = built_in_kit(), Wish("hat", around_um=863_600, unit="in")
    got = answer(kit, wish, 1)
    return why_not_page(got, explain(kit, wish, got.ask), wish)


@pytest.mark.parametrize("width", [browser.PHONE, browser.A4])
def test_where_nothing_fits_there_is_a_page_too(width: int, tmp_path: Path) -> None:
    """The sentence, each repair, a command for what is asked otherwise, the sizes in reach; readable."""
    text = why_not()
    html5lib.HTMLParser(strict=True).parse(text)
    kit, wish = built_in_kit(), Wish("hat", around_um=863_600, unit="in")
    clash = explain(kit, wish, answer(kit, wish, 1).ask)
    assert clash.says in text
    assert all(repair.says in text for repair in clash.repairs)
    assert "pegwright find hat --around" in text
    seen = browser.measured(text, tmp_path, width)
    assert seen["wrong"] == []
    assert seen["scroll"] <= width


def test_the_command_writes_that_page(tmp_path: Path) -> None:
    """`find --page` where nothing fits, with exit code 1 and the words on the terminal as before."""
    ran = pegwright("find", "hat", "--around", "34 in", "--page", str(tmp_path / "no.html"), here=tmp_path)
    assert ran.code == 1
    assert "not with this kit" in (tmp_path / "no.html").read_text(encoding="utf-8")


def test_looms_that_were_not_asked_for_are_drawn_as_if_they_were() -> None:
    """A pinned ring that cannot: the page drew every other loom as an empty line, though two make the very size."""
    kit, free = built_in_kit(), Wish("hat", around_um=533_400, unit="in")
    pinned = replace(free, pins=Pins(loom="porch ring"))
    drawn_free, drawn_pinned = (strips_of(answer(kit, wish, 1), "in") for wish in (free, pinned))
    assert (drawn_pinned.tall, drawn_pinned.short) == (drawn_free.tall, drawn_free.short)
    assert len(drawn_free.short) > 100
    assert "Looms beside the porch ring are drawn too" in drawn_pinned.words
    assert "drawn too" not in drawn_free.words

"""A stranger in a real browser: a first hat from an empty cupboard, by mouse, by keys, without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.solver.formats.browser import chromium
from tests.solver.web.client import program

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

MOST_TYPED = 25
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1200, "height": 900}
LOOM = {"name": "porch frame", "ten": "95 mm", "side1_pegs": "40", "side1_count": "2", "end1_pegs": "6"}
YARN = {"name": "gate wool", "length_per_ball": "200 m", "mass_per_ball": "100 g", "balls": "2"}

# What an audit looks for, worked out in the page: names, labels, contrast, sizes, what runs off the page.
AUDIT = """
(atLoom) => {
  const wrong = [];
  const rgb = (text) => (text.match(/[\\d.]+/g) || []).map(Number);
  const linear = (v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const light = ([r, g, b]) => [r, g, b].map((v) => linear(v / 255))
    .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const ground = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const found = rgb(getComputedStyle(at).backgroundColor);
      if (found.length === 3 || found[3] > 0) return found;
    }
    return [255, 255, 255];
  };
  for (const node of document.querySelectorAll("main *, header *")) {
    const own = [...node.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
    const box = node.getBoundingClientRect();
    if (!own || box.width < 2 || node.closest("svg, .unseen, [hidden]") || !node.checkVisibility()) continue;
    const [a, b] = [light(rgb(getComputedStyle(node).color)), light(ground(node))];
    const contrast = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const words = node.textContent.trim().slice(0, 40);
    if (contrast < 4.5) wrong.push(`contrast ${contrast.toFixed(1)}: ${words}`);
    if (box.right > document.documentElement.clientWidth + 1) wrong.push(`off the page: ${words}`);
  }
  for (const field of document.querySelectorAll("input:not([type=hidden]), select, textarea")) {
    const label = field.labels && field.labels[0];
    if (!label || !label.textContent.trim()) wrong.push(`no label: ${field.name}`);
    const told = (field.getAttribute("aria-describedby") || "").split(" ").filter(Boolean);
    for (const id of told) if (!document.getElementById(id)) wrong.push(`described by nothing: ${field.name} ${id}`);
  }
  const names = [];
  for (const node of document.querySelectorAll("button, a[href]")) {
    const name = (node.getAttribute("aria-label") || node.textContent).replace(/\\s+/g, " ").trim();
    if (!name && !node.closest("svg")) wrong.push(`no name: ${node.outerHTML.slice(0, 60)}`);
    if (node.tagName === "BUTTON") names.push(name + (node.form?.action || "") + (node.value || ""));
    const box = node.getBoundingClientRect();
    const shown = node.checkVisibility() && box.width > 1;
    const least = node.matches("button, .button, summary, header a") ? 44 : 0;
    if (shown && box.height + 0.5 < least) wrong.push(`${box.height.toFixed(0)} px high: ${name}`);
    if (shown && atLoom && node.closest("form.loomside") && box.height < 60) wrong.push(`small at the loom: ${name}`);
  }
  for (const image of document.images)
    if (!image.alt || (image.complete && !image.naturalWidth)) wrong.push(`image: ${image.src}`);
  if (document.documentElement.scrollWidth > document.documentElement.clientWidth + 1) wrong.push("scrolls sideways");
  if (document.querySelectorAll("h1").length !== 1) wrong.push("not one h1");
  if (!document.documentElement.lang || !document.title) wrong.push("no language or title");
  return wrong;
}
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """The Chromium that is installed, driven."""
    path = chromium()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as drive:
        found = drive.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield found
        found.close()


def opened(browser: Browser, address: str, **how: Any) -> tuple[Page, list[str]]:
    """A page of a new visitor, and all that its console says or that goes anywhere else."""
    page, said = browser.new_page(**how), list[str]()
    page.on("console", lambda m: said.append(m.text) if "422" not in m.text else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    page.on("request", lambda r: said.append(r.url) if not r.url.startswith(("http://127.0.0.1:", "data:")) else None)
    page.goto(address)
    return page, said


def audited(page: Page, *, at_loom: bool = False) -> None:
    """Nothing that an audit would name."""
    page.wait_for_load_state()
    assert page.evaluate(AUDIT, at_loom) == [], page.url


def test_a_strangers_first_hat(browser: Browser, tmp_path: Path) -> None:
    """From an empty cupboard to the tenth row, fields typed and clicks counted; then undone and resumed."""
    from playwright.sync_api import expect

    typed = clicks = 0

    def fill(words: dict[str, str]) -> None:
        nonlocal typed
        for name, text in words.items():
            page.fill(f"#{name}", text)
            typed += 1

    def click(what: str) -> None:
        nonlocal clicks
        page.click(what)
        clicks += 1

    with program(tmp_path, kit=None) as (address, _):
        page, said = opened(browser, address, viewport=DESK)
        assert page.url.endswith("/cupboard")
        audited(page)
        click("text=Add a loom")
        fill(LOOM)
        page.check("[name=ends_anywhere]")
        clicks += 1
        audited(page)
        click("text=Save")
        audited(page)
        click("text=Add yarn")
        fill(YARN)
        audited(page)
        click("text=Save")
        click("text=Make something")
        page.select_option("#item", "hat")
        page.select_option("#fit", "loose")
        fill({"girth": "19 in"})
        audited(page)
        click("text=Show me")
        expect(page.locator("#answer h2").first).to_have_text("Ways to make it")
        audited(page)
        click("text=Knit this >> nth=0")
        audited(page, at_loom=True)
        done = 0
        while not page.locator("#title").inner_text().startswith("Row 11"):
            click("#tick .main")
            done += 1
            expect(page.locator("#count")).to_contain_text(f"{done} of")
        audited(page, at_loom=True)
        assert typed <= MOST_TYPED, typed
        assert clicks - done <= 8, clicks
        before = page.locator("#title").inner_text()
        page.click("text=Undo")
        expect(page.locator("#count")).to_contain_text(f"{done - 1} of")
        page.click("#tick .main")
        expect(page.locator("#title")).to_have_text(before)
        assert said == []
    with program(tmp_path, kit=None) as (address, _):  # another day, another port, another browser
        page, _ = opened(browser, address)
        assert page.url.endswith("/loom")
        page.click("main article a")
        expect(page.locator("#title")).to_have_text(before)
    print(f"\nA stranger's first hat: {typed} fields typed, {clicks - done} clicks before the loom")


def test_by_keyboard_alone(browser: Browser, tmp_path: Path) -> None:
    """The same with Tab, arrows, Space and Enter; whatever has the focus shows it."""
    from playwright.sync_api import expect

    with program(tmp_path, kit=None) as (address, _):
        page, _ = opened(browser, address)

        def reach(what: Locator) -> None:
            for _ in range(80):
                if what.evaluate("(node) => node === document.activeElement"):
                    outline = what.evaluate("(node) => getComputedStyle(node).outlineStyle")
                    assert outline != "none"
                    return
                page.keyboard.press("Tab")
            raise AssertionError(f"not reached by Tab: {what}")

        def press(text: str) -> None:
            reach(page.get_by_role("link", name=text).or_(page.get_by_role("button", name=text)).first)
            page.keyboard.press("Enter")
            page.wait_for_load_state()

        def type_(words: dict[str, str]) -> None:
            for name, text in words.items():
                reach(page.locator(f"#{name}"))
                page.keyboard.press("Control+A")
                page.keyboard.type(text)

        press("Add a loom")
        type_({k: v for k, v in LOOM.items() if not k.startswith("end")})
        reach(page.locator("[name=ends_anywhere]"))
        page.keyboard.press("Space")
        press("Save")
        press("Add yarn")
        type_(YARN)
        press("Save")
        press("Make something")
        type_({"girth": "19 in"})
        press("Show me")
        press("Knit this")
        reach(page.locator("#tick .main"))
        for done in range(1, 9):
            page.keyboard.press("Enter")
            expect(page.locator("#count")).to_contain_text(f"{done} of")


def test_without_scripts(browser: Browser, tmp_path: Path) -> None:
    """All but the slider, lighting up and a row without a new page."""
    with program(tmp_path) as (address, _):
        page, _ = opened(browser, address, java_script_enabled=False)
        page.click("header >> text=Make")
        page.fill("#girth", "21 in")
        page.click("text=Show me")
        page.click("text=Knit this >> nth=0")
        for done in range(1, 6):
            page.click("#tick .main")
            assert page.locator("#count").inner_text().startswith(f"{done} of")
        page.click("text=Undo")
        assert page.locator("#count").inner_text().startswith("4 of")


HOWS = ({"viewport": PHONE}, {"viewport": DESK}, {"viewport": PHONE, "color_scheme": "dark"})
PATHS = (
    "/cupboard",
    *(f"/cupboard/looms/new?build={build}" for build in ("boards", "ring", "slider")),
    "/cupboard/looms/edit?which=porch+ring",
    "/cupboard/looms/edit?which=attic+frame",
    *(f"/cupboard/{table}/new" for table in ("yarn", "swatches", "people")),
    "/make",
    *(f"/make?item=hat&of=around&girth={girth}" for girth in ("21+in", "60+in", "60")),
    "/make?item=mittens&who=size%3Aadult-woman",
    "/make/class?item=hat&sizes=50cm,53cm,56cm",
    "/loom",
    "/nowhere",
)


@pytest.mark.parametrize("how", HOWS, ids=str)
def test_every_room_is_sound(browser: Browser, tmp_path: Path, how: dict[str, Any]) -> None:
    """On a phone, on a desk, in the dark: names, labels, contrast, sizes; nothing runs off the page."""
    with program(tmp_path) as (address, _):
        page, said = opened(browser, address, **how)
        base = address.split("/enter")[0]
        for path in PATHS:
            page.goto(base + path)
            audited(page)
        page.goto(base + "/make?item=mittens&who=size%3Aadult-woman")
        page.click("text=Knit this >> nth=0")
        audited(page, at_loom=True)
        assert [each for each in said if "404" not in each] == []


def test_plot_and_list_light_each_other(browser: Browser, tmp_path: Path) -> None:
    """Pointing at a way lights its dot, and the other way round."""
    with program(tmp_path) as (address, _):
        page, _ = opened(browser, address)
        page.goto(address.split("/enter")[0] + "/make?item=hat&girth=21+in&of=around")
        page.hover("#option-2")
        assert page.locator('svg a[href="#option-2"].lit').count() == 1
        page.hover('svg a[href="#option-3"] text')
        assert page.locator("#option-3.lit").count() == 1
        assert page.locator(".lit").count() == 2


def test_back_undoes_what_would_help(browser: Browser, tmp_path: Path) -> None:
    """ "Do that" is a link: Back shows the ask as it was."""
    with program(tmp_path) as (address, _):
        page, _ = opened(browser, address)
        asked = address.split("/enter")[0] + "/make?item=hat&girth=60+in&of=around"
        page.goto(asked)
        says = page.locator(".sentence").inner_text()
        page.click("text=Do that >> nth=0")
        assert page.locator("#answer h2").first.inner_text() == "Ways to make it"
        page.go_back()
        assert page.url == asked
        assert page.locator(".sentence").inner_text() == says


def test_a_count_at_the_check(browser: Browser, tmp_path: Path) -> None:
    """What was counted, and what follows; kept as a swatch on request, and undone in the Cupboard."""
    from playwright.sync_api import expect

    with program(tmp_path) as (address, _):
        page, _ = opened(browser, address)
        base, kit = address.split("/enter")[0], (tmp_path / "kit.toml").read_text()
        page.goto(base + "/make?item=hat&girth=21+in&of=around")
        page.click("text=Knit this >> nth=0")
        done = 0
        while not page.locator("#title").inner_text().startswith("Check"):
            page.click("#tick .main")
            done += 1
            expect(page.locator("#count")).to_contain_text(f"{done} of")
        page.fill("#stitches", "16")
        page.fill("#rows", "20")
        page.click("text=What now, and keep")
        assert re.search(r"Go on: \d+ rows are left", page.locator(".check[role=status]").inner_text())
        assert (tmp_path / "kit.toml").read_text().startswith(kit)
        page.goto(base + "/cupboard")
        page.click("text=Undo: swatch added")
        assert (tmp_path / "kit.toml").read_text() == kit


def test_the_sheet_prints_with_its_own_style(browser: Browser, tmp_path: Path) -> None:
    """Under a policy that names the one style by its digest: it is applied, and the console is silent."""
    with program(tmp_path) as (address, _):
        page, said = opened(browser, address)
        page.goto(address.split("/enter")[0] + "/make?item=hat&girth=21+in&of=around")
        page.click("text=Knit this >> nth=0")
        page.click("text=The whole sheet")
        assert page.evaluate("() => getComputedStyle(document.querySelector('h2')).borderBottomStyle") == "solid"
        page.emulate_media(media="print")
        assert page.pdf()[:4] == b"%PDF"
        assert said == []

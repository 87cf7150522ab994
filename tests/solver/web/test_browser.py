"""The rooms in a real browser: sound on phone, desk and in the dark; what lights up, what Back undoes, what prints."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.solver.formats.browser import chromium
from tests.solver.web.client import program
from tests.solver.web.page_checks import findings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1200, "height": 900}


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


def audited(page: Page) -> None:
    """Nothing that the checks of pages would name; buttons are as large as a finger."""
    page.wait_for_load_state()
    assert findings(page, 44) == [], page.url


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
        audited(page)
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
        assert re.search(r"GO ON: it will suit", page.locator(".check[role=status]").inner_text())
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
        page.wait_for_url("**/sheet")
        assert page.evaluate("() => getComputedStyle(document.querySelector('h2')).borderBottomStyle") == "solid"
        page.emulate_media(media="print")
        assert page.pdf()[:4] == b"%PDF"
        assert said == []

"""A stranger's first hat: from an empty cupboard to the tenth row, in a real browser, and what it took."""

import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.solver.web.browsing import DESKTOP, PHONE, Watched, browser, watched
from tests.solver.web.opened import Opened, opened
from tests.solver.web.page_checks import findings

MOST_TYPED = 25
COMMANDS = r"--[a-z]|pegwright (find|check|sizes|gauge|sheet|adjust|batch|kit|swatch|show)"
LOOM = {
    "Your name for it": "hall frame",
    "Over ten pegs": "95 mm",
    "Pegs of a side board": "42",
    "Pegs of an end board": "6",
}
YARN = {"Your name for it": "gatepost wool", "Length of a ball": "200 m", "Weight of a ball": "100 g"}


@pytest.fixture(scope="module")
def running() -> Iterator[Browser]:
    """One browser for all windows."""
    with browser() as found:
        yield found


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Opened]:
    """A program of its own in an empty folder."""
    with opened(tmp_path) as found:
        yield found


def good(seen: Watched, at: str, least: int = 0) -> None:
    """Nothing is wrong with what is shown, nothing went elsewhere, the browser complained of nothing."""
    seen.page.wait_for_load_state("networkidle")
    assert findings(seen.page, least) == [], at
    assert seen.went_elsewhere == [], at
    assert seen.complaints == [], at
    assert not re.search(COMMANDS, seen.page.inner_text("main")), f"{at} speaks of commands"


def fill_cupboard(seen: Watched) -> None:
    """One frame and one yarn, from the page that opens."""
    seen.press("Add a loom", "link")
    good(seen, "the form of a loom")
    for label, text in LOOM.items():
        seen.type_in(label, text)
    seen.page.get_by_label("An end can be bolted at any peg").check()
    seen.press("Save")
    assert seen.page.get_by_role("heading", name="hall frame").is_visible()
    seen.press("Add yarn", "link")
    good(seen, "the form of yarn")
    for label, text in YARN.items():
        seen.type_in(label, text)
    seen.press("Save")
    good(seen, "a cupboard of two")


def make_a_hat(seen: Watched) -> None:
    """A hat for a head of 56 cm; the first way that is found is begun."""
    seen.press("Make", "link")
    good(seen, "the form of Make")
    seen.choose("What", "hat, crown first" if seen.page.get_by_label("What").inner_text().find("crown") > 0 else "hat")
    seen.type_in("How big", "56 cm")
    seen.press("Show me")
    assert seen.page.get_by_role("heading", name="Ways to make it").is_visible(), seen.page.inner_text("main")
    good(seen, "the ways")
    seen.press("Knit this")


def row_now(page: Page) -> int:
    """The number of the row that stands in large letters; 0 where it is no row."""
    found = re.match(r"Row (\d+)", page.locator("#title").inner_text())
    return int(found[1]) if found else 0


def moved_on(page: Page, before: str) -> None:
    """Wait until another entry is shown, on the same page or, without scripts, on the next one."""
    until = time.monotonic() + 30
    while time.monotonic() < until:
        if page.locator("#count").inner_text() != before:
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"still {before}")


def knit_to_the_tenth_row(seen: Watched) -> None:
    """Done, and done again, until the tenth row is worked."""
    for _ in range(40):
        if row_now(seen.page) == 11:
            return
        if seen.page.locator("#title").inner_text().startswith("Check"):
            good(seen, "a check", least=44)
        before = seen.page.locator("#count").inner_text()
        seen.page.locator("#tick button").first.click()
        moved_on(seen.page, before)
    raise AssertionError("the eleventh row never came")


@pytest.mark.parametrize(
    ("size", "scripts", "dark"),
    [(DESKTOP, True, False), (PHONE, True, True), (DESKTOP, False, True), (PHONE, False, False)],
)
def test_from_an_empty_cupboard_to_the_tenth_row(
    running: Browser, house: Opened, size: tuple[int, int], scripts: bool, dark: bool
) -> None:
    """With scripts and without, large and small, light and dark; at most 25 fields are typed, and it is remembered."""
    with watched(running, house, size, scripts=scripts, dark=dark) as seen:
        if not scripts:  # the checks are a script of their own, and run in a page that has none only by the driver
            seen.page.wait_for_load_state()
        assert seen.page.url.endswith("/cupboard")
        good(seen, "an empty cupboard")
        fill_cupboard(seen)
        make_a_hat(seen)
        good(seen, "the loom", least=44)
        knit_to_the_tenth_row(seen)
        good(seen, "the eleventh row", least=44)
        here = seen.page.url
        seen.press("The whole sheet, to print", "link")
        good(seen, "the sheet")
        assert seen.typed <= MOST_TYPED
        print(f"typed {seen.typed} fields, pressed {seen.clicks} times before the loom")
        seen.page.goto(house.origin + "/")
        assert seen.page.url.endswith("/loom")
        seen.page.goto(here)
        assert row_now(seen.page) == 11


class Keys:
    """A knitter with a keyboard and nothing else: Tab to what is wanted, by the words that a screen reader says."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.pressed = 0

    def to(self, words: str) -> None:
        """Tab until what has the focus has these words for its name."""
        for _ in range(120):
            self.page.keyboard.press("Tab")
            self.pressed += 1
            if words in self.page.evaluate(FOCUSED):
                return
        raise AssertionError(f"Tab never comes to {words}")

    def type_in(self, words: str, text: str) -> None:
        """Tab there and type."""
        self.to(words)
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)

    def enter(self, words: str) -> None:
        """Tab there and press Enter."""
        self.to(words)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")


FOCUSED = """() => { const e = document.activeElement; return (e.getAttribute("aria-label") ?? "") +
  [...(e.labels ?? [])].map(l => l.textContent).join(" ") + (e.matches("a,button,summary") ? e.textContent : ""); }"""


def test_by_keyboard_alone(running: Browser, house: Opened) -> None:
    """The same way with Tab, letters, Space and Enter; whatever has the focus is seen to have it."""
    with watched(running, house) as seen:
        keys = Keys(seen.page)
        keys.enter("Add a loom")
        for label, text in LOOM.items():
            keys.type_in(label, text)
        keys.to("One peg across")
        ring = seen.page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert ring != "none"
        keys.enter("Save")
        keys.enter("Add yarn")
        for label, text in YARN.items():
            keys.type_in(label, text)
        keys.enter("Save")
        keys.enter("Make")
        keys.to("What")
        seen.page.keyboard.type("hat")
        keys.type_in("How big", "56 cm")
        with seen.page.expect_navigation():
            seen.page.keyboard.press("Enter")
        assert seen.page.get_by_role("heading", name="Ways to make it").is_visible()
        keys.enter("Knit this")
        for _ in range(40):
            if row_now(seen.page) == 11:
                break
            before = seen.page.locator("#count").inner_text()
            if seen.page.evaluate("document.activeElement.value") != "done":
                keys.to("one")
            seen.page.keyboard.press("Enter")
            moved_on(seen.page, before)
        assert row_now(seen.page) == 11
        assert seen.went_elsewhere == []


def test_undo_takes_one_row_back_and_a_form_sent_twice_ticks_once(running: Browser, house: Opened) -> None:
    """At the loom: undo; and the same tick sent again, as by a page that hung, counts once."""
    with watched(running, house) as seen:
        fill_cupboard(seen)
        make_a_hat(seen)
        knit_to_the_tenth_row(seen)
        for button in ("Undo", "Done", "Undo"):  # before the eleventh row comes a row, or a check
            before = seen.page.locator("#count").inner_text()
            seen.page.get_by_role("button", name=re.compile(f"^(Row )?{button}$", re.IGNORECASE)).click()
            moved_on(seen.page, before)
            assert (row_now(seen.page) == 11) == (button == "Done")
        at = seen.page.locator("#tick input[name=at]").input_value()
        twice = """async at => { for (let n = 0; n < 2; n++) await fetch(document.querySelector("#tick").action,
            {method: "POST", body: new URLSearchParams({at, do: "done"}), credentials: "same-origin"}); }"""
        seen.page.evaluate(twice, at)
        seen.page.reload()
        assert row_now(seen.page) == 11
        assert seen.complaints == []

"""A real browser, driven, for the rooms of `pegwright open`; and a watch over every page that it shows.

The Chromium is the one of tests/solver/formats/browser.py: skipped with a word where there is none, demanded where
PEGWRIGHT_NEEDS_BROWSER=1.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from playwright.sync_api import Browser, Page, Request, Route, sync_playwright

from tests.solver.formats.browser import chromium
from tests.solver.web.opened import Opened

PHONE, DESKTOP = (390, 844), (1280, 900)


@dataclass
class Watched:
    """A page and what happened on it: requests that went elsewhere, complaints of the console, clicks and fields."""

    page: Page
    went_elsewhere: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    typed: int = 0
    clicks: int = 0

    def type_in(self, label: str, text: str) -> None:
        """Type into the field of that label, found as a knitter finds it: by its words."""
        self.page.get_by_label(label, exact=False).first.fill(text)
        self.typed += 1

    def choose(self, label: str, option: str) -> None:
        """Choose in the list of that label."""
        self.page.get_by_label(label, exact=False).first.select_option(label=option)
        self.clicks += 1

    def press(self, name: str, role: str = "button") -> None:
        """Press the first button or link of that name."""
        self.page.get_by_role(role, name=name).first.click()  # type: ignore[arg-type]
        self.page.wait_for_load_state()
        self.clicks += 1


@contextmanager
def browser() -> Iterator[Browser]:
    """The browser; closed at the end."""
    path = chromium()
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-quic"])
        try:
            yield running
        finally:
            running.close()


@contextmanager
def watched(
    running: Browser, house: Opened, size: tuple[int, int] = DESKTOP, *, scripts: bool = True, dark: bool = False
) -> Iterator[Watched]:
    """A window that came in by the printed address. Whatever leaves the house's own origin is stopped and noted."""
    context = running.new_context(
        viewport={"width": size[0], "height": size[1]}, java_script_enabled=scripts, locale="en-GB",
        color_scheme="dark" if dark else "light",
    )  # fmt: skip
    page = context.new_page()
    seen = Watched(page)

    def pass_on(route: Route, request: Request) -> None:
        if request.url.startswith((house.origin + "/", "data:")):
            route.continue_()
        else:
            seen.went_elsewhere.append(request.url)
            route.abort()

    context.route("**/*", pass_on)
    page.on("console", lambda said: seen.complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    try:
        page.goto(house.address)
        yield seen
    finally:
        context.close()

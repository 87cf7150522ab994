"""The checks of pages find what they are for: each fault alone, on a page that is good without it."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.solver.web.browsing import browser
from tests.solver.web.page_checks import findings

GOOD = """<!DOCTYPE html><html lang="en"><head><title>A page</title><style>
body { color: #26302c; background: #fdfcf8; } button { min-height: 50px; min-width: 50px; } .pale { color: #9a9a9a; }
</style></head><body><main><h1>Yarn</h1><h2>Moss</h2><p>Two balls.</p><label for="n">Name</label>
<input id="n" style="height: 50px"><button>Save</button></main></body></html>"""
DOT = '<img src="data:image/gif;base64,R0lGODlhAQABAIAAAAAAAP///yH5BAEAAAAALAAAAAABAAEAAAIBRAA7">'  # one pixel


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    """One page of a browser."""
    with browser() as running:
        yield _blank(running)


def _blank(running: Browser) -> Page:
    return running.new_page(viewport={"width": 400, "height": 600})


def of(page: Page, html: str) -> list[str]:
    """What is found on a page of that text."""
    page.set_content(html, wait_until="load")
    return findings(page, 44)


def test_a_good_page_has_no_findings(page: Page) -> None:
    """So that every finding below comes from the one change."""
    assert of(page, GOOD) == []


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ('<label for="n">Name</label>', "Name", "no name: <input#n"),
        ("<button>Save</button>", "<button></button>", "no name: <button"),
        ("<p>Two balls.</p>", '<p class="pale">Two balls.</p>', "contrast 2."),
        ("<p>Two balls.</p>", f"<p>{DOT}Two</p>", "no alt"),
        ("<p>Two balls.</p>", '<p><img alt="wool" src="data:,">Two</p>', "a picture that does not show"),
        ("<p>Two balls.</p>", "<p><svg width=50 height=50></svg>Two</p>", "a drawing without a name"),
        ("<button>Save</button>", '<button style="min-height:0;height:30px">Save</button>', "a target of"),
        ("<h2>Moss</h2>", "<h3>Moss</h3>", "a heading of level 3 after one of 1"),
        ("<p>Two balls.</p>", '<p id="p">Two</p><p id="p">balls.</p>', "two elements have the id p"),
        ("<p>Two balls.</p>", '<p style="width:900px">Two balls.</p>', "the page is 9"),
        ('<input id="n"', '<input aria-invalid="true" id="n"', "wrong, and not said why"),
        ('<input id="n"', '<input aria-describedby="gone" id="n"', "names gone, which is not there"),
        ('lang="en"', "", "no language"),
        ("<title>A page</title>", "", "no title"),
    ],
)  # fmt: skip
def test_each_fault_is_found_alone(page: Page, was: str, now: str, says: str) -> None:
    """One finding, and it says what."""
    assert was in GOOD
    found = of(page, GOOD.replace(was, now))
    assert found
    assert all(says in each for each in found), found

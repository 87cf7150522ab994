"""The page of a class in a browser: nothing cut off, on a phone or on paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.command import pegwright
from tests.solver.formats import browser


@pytest.mark.parametrize("width", [browser.PHONE, browser.A4])
def test_nothing_is_cut_off_or_overlaps(width: int, tmp_path: Path) -> None:
    """Long names of boards fold."""
    made = pegwright(
        "sizes", "hat", "--sizes", "3 years,6 years,adult-woman", "--html", str(tmp_path / "class.html"), here=tmp_path
    )
    assert made.code == 0
    seen = browser.measured((tmp_path / "class.html").read_text(encoding="utf-8"), tmp_path, width)
    assert seen["wrong"] == []
    assert seen["scroll"] <= width


@pytest.mark.parametrize("same", [(), ("--same", "loom", "--same", "yarn")], ids=["each its own", "all alike"])
def test_a_size_takes_few_lines_on_a_phone(same: tuple[str, ...], tmp_path: Path) -> None:
    """A line here is 24 px: ten for a size were too many to compare two; what is alike is said once, above."""
    file = tmp_path / "class.html"
    words = ("sizes", "hat", "--sizes", "3 years,6 years,adult-woman", *same, "--html", str(file))
    assert pegwright(*words, here=tmp_path).code == 0
    page = file.read_text(encoding="utf-8")
    seen = browser.measured(page, tmp_path, browser.PHONE)
    assert len(seen["rows"]) == 3
    assert max(seen["rows"]) <= 6 * 24 + 20
    table = page.split("<tbody>")[1].split("</tbody>")[0]
    if same:
        (alike,) = re.findall(r"All on the (.+?) and in (.+?)\.</p>", page)
        assert not any(name in table for name in alike)

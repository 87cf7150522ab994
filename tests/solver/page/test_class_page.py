"""The page of a class in a browser: nothing cut off, on a phone or on paper."""

from __future__ import annotations

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

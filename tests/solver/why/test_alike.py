"""`sizes --same`: what a run shares is chosen for the whole of it, as trying every choice finds; and the class page."""

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

from catalog.errors import InputError
from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.search.best_first import find
from solver.why.sizes import sizes
from tests.command import pegwright

RUN = ("38 cm", "50 cm", "57 cm")
CHOICES: dict[str, list[str | int]] = {
    "loom": ["attic frame", "long rake", "porch ring"],
    "yarn": ["moss wool", "harbour cotton", "kettle chunky"],
    "spacers": [0, 1, 2, 3, 4],
    "strands": [1, 2],
}


@pytest.mark.parametrize(
    ("item", "same"), [("hat", ("spacers", "yarn")), ("hat", ("loom",)), ("mittens", ("loom", "yarn"))]
)
def test_the_shared_choice_is_the_best_of_all_that_are_tried(item: str, same: tuple[str, ...]) -> None:
    """Every value pinned in turn, each size found alone: most sizes made, then the least score in all, then by name."""
    kit, run = built_in_kit(), RUN if item == "hat" else ("16 cm", "19 cm", "21 cm")
    names = [n for n in ("loom", "yarn", "strands", "spacers") if n in same or (n == "strands" and "yarn" in same)]
    report = sizes(kit, Wish(item), ",".join(run), same)
    tried = []
    for values in product(*(CHOICES[n] for n in names)):
        pins = Pins(**dict(zip(names, values, strict=True)))  # type: ignore[arg-type]
        asks = [ask_of(kit, Wish(item, body_um=int(r.split()[0]) * 10_000, pins=pins)) for r in run]
        found = [find(ask, 1).options for ask in asks]
        tried.append((-sum(map(bool, found)), sum(o[0].score for o in found if o), values))
    expected = min(tried)[2]
    made = [row.option for row in report.rows if row.option]
    assert made
    assert {tuple(getattr(o, n) for n in names) for o in made} == {expected}
    assert sum(o.score_mm for o in made) == pytest.approx(min(tried)[1] / 10_000 / 1000, abs=0.01)


def test_a_size_that_the_shared_choice_cannot_make_says_why_there() -> None:
    """One ring makes one girth; the others are told of the ring."""
    kit = built_in_kit()
    report = sizes(kit, replace(Wish("hat"), pins=Pins(loom="porch ring")), "38cm,55cm,60cm", ("loom",))
    assert [bool(row.option) for row in report.rows].count(False) >= 1
    assert all("porch ring" in row.says for row in report.rows if not row.option)
    assert "all sizes alike: the porch ring" in report.notes or not any(row.option for row in report.rows)


def test_a_word_that_cannot_be_held() -> None:
    """The words that can, and the nearest."""
    with pytest.raises(InputError, match='same: found "spacer", expected loom, yarn or spacers'):
        sizes(built_in_kit(), Wish("hat"), "50cm", ("spacer",))


def test_the_page_for_the_class(tmp_path: Path) -> None:
    """A line for each size with the figures of the table, what is shared, the care; and no file that is not ours."""
    words = ("sizes", "socks", "--sizes", "6-years,adult-woman", "--same", "yarn", "--same", "loom")
    ran = pegwright(*words, "--html", "class.html", here=tmp_path)
    assert ran.code == 0
    page = (tmp_path / "class.html").read_text(encoding="utf-8")
    assert page.count("<tr>") == 3
    for part in (
        '<td data-name="Size">6-years</td>',
        " can be made. All ",
        "Take care",
        ", leg ",
        "Socks, toe up, 2 sizes",
    ):
        assert part in page, part
    (tmp_path / "mine.html").write_text("mine")
    refused = pegwright(*words, "--html", "mine.html", here=tmp_path)
    assert refused.code == 2
    assert (tmp_path / "mine.html").read_text() == "mine"

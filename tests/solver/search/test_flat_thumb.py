"""A thumb that no loom holds in the round is worked flat where the hand is, a stitch of it in the seam, and sewn up."""

from pathlib import Path
from typing import Any

import pytest

from catalog.kit import Kit, kit_of
from solver import load_kit, wish
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.search.best_first import find
from solver.search.option import Option
from solver.why.check import check
from solver.why.explain import explain
from tests.command import pegwright
from tests.kits.edges import MITTENS, RAKE_SWATCH, THUMB_RAKE, WEARER
from tests.kits.small import kit_with


def kit(*more: tuple[str, object]) -> Kit:
    """The rake works no fewer than 20 pegs, so 72 mm of thumb, 12 pegs of 6 mm, are too few for it."""
    return kit_with(("swatch.0", RAKE_SWATCH), ("wearer.0", WEARER), ("yarn.0.wraps_per_inch", 13), *more)


def best(made_with: Kit) -> Option:
    """The first option of the mittens."""
    return find(ask_of(made_with, MITTENS), 1).options[0]


def test_flat_by_hand() -> None:
    """13 pegs of one side, 12 stitches of them left of 72 mm; 12 rows. The opening is six pegs as before.

    Yarn of a thumb: 26.263 · 13 · 12 + round the pegs 11 · 13 + 385 + 330, of a pair twice that.
    """
    hand, thumb = best(kit()).setup.pieces
    assert (hand.pegs, thumb.way.key) == (30, hand.way.key)
    assert (thumb.ask.flat, thumb.pegs, thumb.girth_um, thumb.rows_total) == (True, 13, 72_000, 12)
    assert thumb.yarn_um == 2 * (26_263 * 13 * 12 + 11_000 * 13 + 385_000 + 330_000)


def test_in_the_round_wherever_some_loom_holds_it() -> None:
    """With a rake for thumbs, or a hand's rake that goes down so far, nothing is worked flat."""
    small = {**RAKE_SWATCH, "loom": "thumb rake"}
    for more in ((("swatch.1", small), ("loom.3", THUMB_RAKE)), (("loom.2.pegs_least", 12),)):
        thumb = best(kit(*more)).setup.pieces[1]
        assert (thumb.ask.flat, thumb.pegs, thumb.girth_um) == (False, 12, 72_000)


def test_more_pegs_than_one_side_has() -> None:
    """Flat it needs 13 pegs of the 12 that one side of so short a rake would have: another count within its limit."""
    thumb = best(kit(("loom.2.pegs_most", 24), ("wearer.0", {**WEARER, "hand": "144 mm"}))).setup.pieces[1]
    assert thumb.ask.flat
    assert thumb.pegs <= 12


@pytest.mark.parametrize("wide", ["7 mm", "1 in", "5 mm"])
def test_nothing_flat_is_one_peg(wide: str) -> None:
    """To and fro takes two pegs: a panel of one is refused, and never the nearest of anything."""
    one = kit(("loom.0.side_boards.0.pegs", 30))
    asked = wish("panel", wide=wide, long="4 in", girth_within="1 cm")
    found = find(ask_of(one, asked), 50).options
    assert all(o.setup.pieces[0].pegs >= 2 for o in found)
    assert found or explain(one, asked, ask_of(one, asked)).nearest is not None


@pytest.mark.parametrize("around", ["10in", "26 cm", "20 cm", "6in"])
def test_a_thumb_of_one_peg_is_no_thumb(around: str) -> None:
    """On one ring, with one yarn, it was the nearest of all, a thumb of no girth; a sentence says why not."""
    kit, asked = one_ring(), wish("mittens", around=around)
    report = explain(kit, asked, ask_of(kit, asked))
    assert report.says
    assert report.nearest is None or min(piece.pegs for piece in report.nearest.pieces) >= 2


def one_ring() -> Kit:
    """The kit of the example with one ring, one yarn and no swatch."""
    return load_kit(Path(__file__).parents[3] / "examples/one-ring/kit.toml")


@pytest.mark.parametrize("loom", [{"build": "ring", "pegs": 1}, {"build": "slider", "pegs_least": 2, "pegs_most": 2}])
def test_a_loom_with_no_two_pegs_in_a_row_makes_nothing_flat(loom: dict[str, Any]) -> None:
    """It is said, and nothing breaks."""
    tables = {
        "loom": [{"name": "stump", "pitch": "10 mm", "peg_diameter": "3 mm", **loom}],
        "yarn": [{"name": "wool", "weight": 4, "fibre": "wool"}],
    }
    kit, asked = kit_of(tables, "test kit"), wish("panel", wide="2 in", long="4 in")
    assert explain(kit, asked, ask_of(kit, asked)).says
    assert not check(kit, asked).looms[0].allows


@pytest.mark.parametrize("size", ["2-years", "4-years", "8-years"])
def test_childrens_mittens_on_a_kit_without_a_small_ring(size: str) -> None:
    """They were refused on every kit that had no ring of twelve pegs."""
    found = find(ask_of(kit(), Wish("mittens", size=size, pins=Pins(yarn="wool"))), 3)
    assert found.options
    assert found.complete
    assert any(o.setup.pieces[1].ask.flat for o in found.options)


def test_the_sheet_sews_it_up(tmp_path: Path) -> None:
    """Picked up onto one side, to and fro, drawn shut, sewn to a tube; told by its girth, not by a width."""
    words = ("sheet", "mittens", "--size", "2-years", "--loom", "attic frame", "--yarn", "moss wool")
    text = " ".join(pegwright(*words, here=tmp_path).out.split())
    thumb = text[text.index("Set up the loom (thumb)") :]
    for part in ("of one side, to and fro", "onto one side of the loom as they come free", "Work to and fro: from peg",
                 "sew its two side edges together", "the seam sewn"):  # fmt: skip
        assert part in thumb, part


def test_the_table_says_that_it_is_flat(tmp_path: Path) -> None:
    """Beside its pegs and rows; a thumb in the round is told as before."""
    out = " ".join(pegwright("find", "mittens", "--size", "2-years", "--top", "1", here=tmp_path).out.split())
    assert "rows, flat and sewn up" in out

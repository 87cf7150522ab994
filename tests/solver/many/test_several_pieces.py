"""Items of several pieces in a batch: pairs with thumbs, on one loom or on two."""

from typing import Any

import pytest

from catalog.kit import kit_of
from solver.asking.wish import Wish
from solver.many.batch import BatchAnswer, plan_batch
from solver.many.gather import Asks, Wanted
from solver.model.ask import Pins
from tests.solver.many import checking

FRAME: dict[str, Any] = {
    "name": "hand frame", "build": "boards", "pitch": "9.5 mm", "peg_diameter": "3 mm", "base_gap": "3 mm",
    "spacers": {"thickness": "1.6 mm", "most": 2, "on_hand": 48}, "bolts_per_board": 2, "joining": True,
    "ends_anywhere": True, "side_boards": [{"name": "short", "pegs": 18, "on_hand": 4}],
    "end_boards": [{"name": "end", "pegs": 6, "on_hand": 2}],
    "set_up_as": {"sides": ["short"], "ends": "end", "pegs_per_side": 10, "spacers": 2},
}  # fmt: skip
WIDE = {**FRAME, "name": "hand frame", "end_boards": [{"name": "end", "pegs": 8, "on_hand": 2}]}  # 18 pegs at least
SMALL = {**FRAME, "name": "thumb frame", "joining": False, "side_boards": [{"name": "stub", "pegs": 9, "on_hand": 2}],
         "end_boards": [{"name": "end", "pegs": 1, "on_hand": 2}],
         "set_up_as": {"sides": ["stub"], "ends": "end", "pegs_per_side": 4, "spacers": 2}}  # fmt: skip
BOTH = {**FRAME, "name": "one frame", "end_boards": [{"name": "end", "pegs": 1, "on_hand": 2}]}
WOOL = {"name": "moss wool", "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g", "fibre": "wool"}
SWATCH = {"spacers": 2, "yarn": "moss wool", "stitches": {"count": 16, "over": "4 in"},
          "rows": {"count": 20, "over": "4 in"}}  # fmt: skip


def plan(
    looms: list[dict[str, Any]], rows: list[Wanted], turns: int | None = None
) -> tuple[BatchAnswer, dict[str, Any]]:
    """The plan of some rows, checked, and the kit's tables."""
    counted = [{"loom": loom["name"], **SWATCH} for loom in looms if "spacers" in loom]
    tables = {"loom": looms, "yarn": [WOOL], "swatch": counted}
    got = plan_batch(Asks(kit_of(tables, "a test")), rows, turns=turns)
    checking.check(got.report, tables, [(r.name, r.copies) for r in rows], turns, False)
    return got, tables


def mittens(name: str, copies: int = 1) -> Wanted:
    """A pair for a man's hand, thumbs of their own."""
    return Wanted(name, Wish("mittens", size="adult-man", pins=Pins(spacers=2)), copies)


@pytest.mark.parametrize("first", ["band", "slippers"])
def test_one_piece_and_two_of_the_same_pegs_are_worked_one_after_the_other(first: str) -> None:
    """A slipper's heel takes the pegs of its foot, so nothing changes within the pair: it was taken for a single."""
    pins = Pins(spacers=2, pegs=32)
    rows = [
        Wanted("band", Wish("headband", around_um=203_000, long_um=60_000, pins=pins)),
        Wanted("slippers", Wish("slippers", around_um=203_000, pins=pins)),
    ]
    got, _ = plan([BOTH], sorted(rows, key=lambda row: row.name != first))
    told = {each.name: each for each in got.report.assigned}
    assert [p.pegs for p in told["slippers"].option.pieces] == [32, 32]
    assert sorted(len(each.changes) > 0 for each in told.values()) == [False, True]  # set up once, for both


def test_a_pair_and_its_thumbs_on_one_loom() -> None:
    """Where one loom works both, it is rebuilt within each job, and every rebuild is counted."""
    got, _ = plan([BOTH], [mittens("Ivo", 2), Wanted("Ada", Wish("mittens", size="adult-woman"))])
    assert got.report.served == 3
    assert not any(e.elsewhere for e in got.report.assigned)
    assert all(len({p.pegs for p in e.option.pieces}) == 2 for e in got.report.assigned)
    assert all(any("for the thumb: " in word for word in e.changes) for e in got.report.assigned)
    assert got.report.changes >= 2 * 3 - 1


def test_thumbs_on_a_loom_of_their_own_come_after_all_else() -> None:
    """Where the hand's loom is too wide for a thumb, thumbs follow on the other, after what waits for nothing."""
    ring = Wanted("the doll", Wish("headband", around_um=76_000, long_um=30_000))
    got, _ = plan([WIDE, SMALL], [mittens("Ivo", 2), mittens("Jorunn"), ring])
    told = {(e.name, e.copy_): e for e in got.report.assigned}
    for pair in (("Ivo", 1), ("Ivo", 2), ("Jorunn", 1)):
        (other,) = told[pair].elsewhere
        assert (other.loom, other.pieces) == ("thumb frame", ["thumb"])
        assert other.turn > told["the doll", 1].turn
    assert told["the doll", 1].option.loom == "thumb frame"
    assert got.report.served == 4


def test_a_piece_on_two_looms_is_not_timed() -> None:
    """With turns a thumb that needs a second loom cannot be planned, and that is said."""
    timed, _ = plan([WIDE, SMALL], [mittens("Ivo")], turns=2)
    assert timed.report.served == 0
    assert "needs a second loom for a lesser piece" in timed.report.unserved[0].says


def test_a_slider_is_moved_as_seldom_as_can_be() -> None:
    """Two sizes asked for in turn: those alike are worked one after another, so that its end moves once."""
    rake = {
        "name": "rake",
        "build": "slider",
        "pitch": "10 mm",
        "peg_diameter": "4 mm",
        "pegs_least": 20,
        "pegs_most": 90,
    }
    around = {"small": 420_000, "large": 520_000}
    rows = [Wanted(f"{size} {i}", Wish("hat", around_um=around[size])) for i in (1, 2, 3) for size in around]
    got, _ = plan([rake], rows)
    assert got.report.served == 6
    assert got.report.changes == 1
    (moved,) = [e for e in got.report.assigned if e.changes]
    before = next(e for e in got.report.assigned if e.turn == moved.turn - 1)
    assert moved.turn == 4
    assert moved.changes == [f"move the end: {moved.option.pegs} pegs in work, not {before.option.pegs}"]

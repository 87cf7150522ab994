"""A lesser piece takes its loom as the piece before it left it: the least change from there, then the fewest boards and
idle pegs. Nobody takes a frame apart for the nine pegs of a thumb.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from catalog.kit import Kit, kit_of
from solver.asking.wish import Wish
from solver.formats.text import text_lines
from solver.model.ask import Pins
from solver.page.contents import sheet_of
from solver.plan.answer import answer
from solver.plan.saved import SavedPlan, plan_of

FRAME = {
    "name": "frame", "build": "boards", "pitch": "9.5 mm", "peg_diameter": "3 mm", "base_gap": "3 mm",
    "spacers": {"thickness": "1.6 mm", "most": 4, "on_hand": 40}, "joining": True, "ends_anywhere": True,
    "side_boards": [{"name": "short", "pegs": 18, "on_hand": 2}, {"name": "long", "pegs": 30, "on_hand": 2}],
    "end_boards": [{"name": "end", "pegs": 6, "on_hand": 2}],
}  # fmt: skip
WOOL = {"name": "wool", "weight": 4, "fibre": "wool", "length_per_ball": "200 m", "mass_per_ball": "100 g"}
LONG = {"sides": ["long"], "ends": "end", "pegs_per_side": 30, "spacers": 0}


def kit(**frame: Any) -> Kit:
    """One frame, with boards of 18 and of 30 pegs, and one yarn."""
    return kit_of({"loom": [{**FRAME, **frame}], "yarn": [WOOL]}, "one frame")


def plan(name: str, made_with: Kit, **words: Any) -> SavedPlan:
    """The best plan of an item on it."""
    wish = Wish(name, **words)
    return plan_of(answer(made_with, wish, 1), wish, None, 1)


def loom_of(made: SavedPlan, piece: str) -> str:
    """How the sheet sets up the loom for a piece."""
    text = "\n".join(line for _, line in text_lines(sheet_of(made)))
    part = re.search(rf"Set up the loom \({piece}\)\n(.*?)\n\n", text, re.DOTALL)
    assert part
    return " ".join(part[1].split())


@pytest.mark.parametrize("stands", [{}, {"set_up_as": LONG}], ids=["nothing known", "on long boards"])
def test_a_flat_thumb_stays_on_the_boards_of_the_hand(stands: dict[str, Any]) -> None:
    """Nine pegs of a child's thumb on the hand's own boards, short or long: no board is taken out for them."""
    made = plan("mittens", kit(**stands), age="5 years")
    hand, thumb = made.option.pieces
    assert thumb.flat
    assert thumb.side_boards == hand.side_boards == (["long"] if stands else ["short"])
    assert "Take out" not in loom_of(made, "thumb")
    assert "Add" not in loom_of(made, "thumb")


def test_the_ends_stay_where_they_are_if_the_pegs_lie_between_them() -> None:
    """Between narrow ends a hand has more pegs a side than its thumb works flat: nothing is moved at all."""
    ends = [{"name": "end", "pegs": 2, "on_hand": 2}]
    made = plan("mittens", kit(end_boards=ends), around_um=180_000, long_um=280_000)
    hand, thumb = made.option.pieces
    if not thumb.flat:
        pytest.fail("the case needs a thumb that is worked flat")
    assert hand.pegs_per_side is not None
    assert thumb.pegs <= hand.pegs_per_side < 18
    assert thumb.pegs_per_side == hand.pegs_per_side
    said = loom_of(made, "thumb")
    assert "It stands as the hand left it: nothing to change." in said
    assert f"just past peg {hand.pegs_per_side} of each" in said


def test_smaller_balls_leave_the_boards_and_move_the_ends() -> None:
    """A toy's head and limbs on the boards of its body, where short ones would do for the limb by itself."""
    made = plan("toy", kit(), around_um=319_000)
    body, head, limb = made.option.pieces
    assert body.side_boards == head.side_boards == limb.side_boards == ["long"]
    assert limb.pegs_per_side is not None
    assert limb.pegs_per_side <= 18
    assert f"Move the ends: {limb.pegs_per_side} pegs along each side, not {head.pegs_per_side}." in loom_of(
        made, "limb"
    )


def test_flat_work_takes_the_fewest_idle_pegs() -> None:
    """A narrow panel on short boards, which come after the long ones by name."""
    made = plan("panel", kit(), wide_um=76_200, long_um=254_000, pins=Pins(loom="frame"))
    assert made.option.pegs <= 18
    assert made.option.side_boards == ["short"]

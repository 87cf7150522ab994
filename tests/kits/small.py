"""The smallest kit that a rule can be tried on: one frame, one yarn, one swatch, everything else wide open."""

from copy import deepcopy
from typing import Any

from catalog.kit import Kit, kit_of
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.search.best_first import find

SMALL: dict[str, Any] = {
    "loom": [
        {
            "name": "frame", "build": "boards", "pitch": "10 mm", "peg_diameter": "3 mm", "base_gap": "5 mm",
            "spacers": {"thickness": "1 mm", "most": 2, "on_hand": 16}, "bolts_per_board": 2,
            "joining": False, "ends_anywhere": False,
            "side_boards": [{"name": "side", "pegs": 24, "on_hand": 2}],
            "end_boards": [{"name": "end", "pegs": 6, "on_hand": 2}],
        },
        {"name": "ring", "build": "ring", "pitch": "10 mm", "peg_diameter": "3 mm", "pegs": 60},
        {"name": "rake", "build": "slider", "pitch": "10 mm", "peg_diameter": "3 mm", "pegs_least": 20,
         "pegs_most": 60},
    ],
    "yarn": [{"name": "wool", "weight": 4, "fibre": "wool", "length_per_ball": "200 m", "mass_per_ball": "100 g"}],
}  # fmt: skip


def kit_with(*changes: tuple[str, Any]) -> Kit:
    """The small kit with values set by path: ("loom.0.pitch", "9 mm"); a path one past a list's end appends."""
    tables = deepcopy(SMALL)
    for path, value in changes:
        *steps, last = path.split(".")
        here: Any = tables
        for step in steps:
            here = here[int(step)] if isinstance(here, list) else here.setdefault(step, [])
        if isinstance(here, list) and int(last) == len(here):
            here.append(value)
        else:
            here[int(last) if isinstance(here, list) else last] = value
    return kit_of(tables, "the small kit")


def found(kit: Kit, wish: Wish, *dropped: str) -> bool:
    """Whether a setup exists, with rules dropped."""
    return bool(find(ask_of(kit, wish, frozenset(dropped)), 1).options)

"""Kits of the lantern hall for the gauge tests, small enough to reckon by hand."""

from typing import Any

from catalog.kit import Kit, kit_of
from solver.gauging.prior import Setting

FRAME: dict[str, Any] = {
    "name": "attic frame",
    "build": "boards",
    "pitch": "9.5 mm",
    "peg_diameter": "3 mm",
    "base_gap": "3 mm",
    "spacers": {"thickness": "1.6 mm", "most": 4, "on_hand": 40},
    "side_boards": [{"name": "short", "pegs": 18, "on_hand": 2}],
}
RING: dict[str, Any] = {"name": "porch ring", "build": "ring", "pitch": "12 mm", "peg_diameter": "6 mm", "pegs": 40}
WIDE_RING: dict[str, Any] = {**RING, "name": "cellar ring", "pitch": "16 mm"}
RAKE: dict[str, Any] = {
    "name": "long rake",
    "build": "slider",
    "pitch": "12.7 mm",
    "peg_diameter": "5 mm",
    "base_gap": "8 mm",
    "pegs_least": 16,
    "pegs_most": 96,
}
MOSS: dict[str, Any] = {"name": "moss wool", "weight": 4, "length_per_ball": "200 m", "mass_per_ball": "100 g"}
KETTLE: dict[str, Any] = {"name": "kettle chunky", "weight": 5}
COBWEB: dict[str, Any] = {"name": "cobweb", "weight": 0}

OURS = Setting("attic frame", 2, "moss wool", 1, "u-wrap")


def swatch(stitches: float, rows: float, at: Setting = OURS, over: str = "4 in", **more: object) -> dict[str, Any]:
    """A swatch table of that many stitches and rows over one length."""
    counts = {"stitches": {"count": stitches, "over": over}, "rows": {"count": rows, "over": over}}
    return {**at._asdict(), **counts, **more}


def kit(*swatches: dict[str, Any], **tables: object) -> Kit:
    """A kit of four looms and three yarns with these swatches."""
    yarns = [MOSS, KETTLE, COBWEB]
    looms = [FRAME, RING, WIDE_RING, RAKE]
    return kit_of({"loom": looms, "yarn": yarns, "swatch": list(swatches), **tables}, "a test kit")

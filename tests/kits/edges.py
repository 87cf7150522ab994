"""Swatches, wishes and looms at the edge of one rule, on the smallest kit (tests/kits/small.py)."""

from dataclasses import replace

from solver.asking.wish import Wish
from solver.model.ask import Pins

# At the swatch's own count a stitch is 6 mm wide and a row 5 mm high: 60 pegs are 360 mm, 30 rows 150 mm.
SWATCH = {
    "loom": "frame", "yarn": "wool", "spacers": 2,
    "stitches": {"count": 20, "over": "120 mm"}, "rows": {"count": 20, "over": "100 mm"},
}  # fmt: skip
RING_SWATCH = {**SWATCH, "loom": "ring", "spacers": 0}
RAKE_SWATCH = {**SWATCH, "loom": "rake", "spacers": 0}
ONE_WAY = Pins(loom="frame", yarn="wool", spacers=2, strands=1)
HAT = Wish(
    "hat", around_um=360_000, long_um=150_000, girth_within_um=0, length_within_um=0, band=(25_000, 50_000),
    pins=ONE_WAY, measured_only=True,
)  # fmt: skip
RING = replace(HAT, pins=replace(ONE_WAY, loom="ring", spacers=0))
RAKE = replace(HAT, pins=replace(ONE_WAY, loom="rake", spacers=0))

WEARER = {"name": "knitter", "hand": "180 mm", "hand_length": "180 mm"}
THUMB_RAKE = {
    "name": "thumb rake", "build": "slider", "pitch": "9 mm", "peg_diameter": "3 mm", "pegs_least": 8, "pegs_most": 30,
}  # fmt: skip
MITTENS = Wish(
    "mittens", wearer="knitter", ease_um=0, pins=Pins("rake", "wool", strands=1), measured_only=True
)  # fmt: skip

"""Simulated knitters, drawn from the design's own words and sharing no code with the gauge model.

Each has a tension, looms, yarns and ways of making a stitch that differ from the guess; each counts whole stitches on
swatches, and then knits a tube whose true girth is known here and nowhere else.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
PEGS = 72
FOUR_IN_MM = 101.6


@dataclass(frozen=True)
class Way:
    """One way of knitting: names for the tool, and the loop in mm from the loom's measures, worked out here."""

    loom: str
    spacers: int
    yarn: str
    strands: int
    stitch: str
    reach_mm: float
    peg_mm: float
    yarn_mm: float

    @property
    def width_mm(self) -> float:
        """Loop over 3.8, rounds of the peg: half for a u-wrap; one for an e-wrap, whose crossing takes 15 % of it."""
        share, lies = {"u-wrap": (0.5, 1.0), "e-wrap": (1.0, 0.85)}[self.stitch]
        return lies * (self.reach_mm + share * np.pi * (self.peg_mm + self.yarn_mm)) / 3.8

    @property
    def height_mm(self) -> float:
        """The same loop over 5.0."""
        return self.width_mm * 3.8 / 5.0


def _frame(spacers: int, yarn: str, strands: int, stitch: str, yarn_mm: float) -> Way:
    reach = 2 * float(np.hypot(3 + 1.6 * spacers, 4.75))
    return Way("attic frame", spacers, yarn, strands, stitch, reach, 3, yarn_mm)


MOSS_MM, MOSS_2_MM, KETTLE_MM = 2.540, 3.592, 3.629  # 25.4 / 10, that × √2, 25.4 / 7
WAYS = (
    _frame(1, "moss wool", 1, "u-wrap", MOSS_MM),
    _frame(2, "moss wool", 1, "u-wrap", MOSS_MM),
    _frame(3, "moss wool", 1, "u-wrap", MOSS_MM),
    _frame(2, "moss wool", 2, "u-wrap", MOSS_2_MM),
    _frame(3, "kettle chunky", 1, "u-wrap", KETTLE_MM),
    _frame(2, "moss wool", 1, "e-wrap", MOSS_MM),
    Way("porch ring", 0, "moss wool", 1, "e-wrap", 12, 6, MOSS_MM),
    Way("long rake", 0, "kettle chunky", 1, "u-wrap", 2 * float(np.hypot(8, 6.35)), 5, KETTLE_MM),
)


@dataclass(frozen=True)
class Knitters:
    """`swatched[k, j]` and `wanted[k]` index WAYS; `stitches[k, j]` and `rows[k, j]` whole counts over 4 in.

    `girth_mm[k]` is the truth of the tube that is knitted next.
    """

    swatched: NDArray[np.int64]
    stitches: Floats
    rows: Floats
    wanted: NDArray[np.int64]
    girth_mm: Floats


def knitters(
    n: int, swatches: int, seed: int, *, tension: float = 0.08, swatch_piece: float = 0.02, alike: bool = False
) -> Knitters:
    """`n` knitters with so many swatches each, at ways drawn at random: any may come twice, or be the wanted one.

    `alike`: every swatch is of the wanted way. `tension` is the sd of the knitter's own hand; `swatch_piece` what each
    swatch, as a piece, keeps to itself.
    """
    draw = np.random.default_rng(seed)
    each, shape = np.arange(n), (n, swatches)
    swatched, wanted = draw.integers(0, len(WAYS), shape), draw.integers(0, len(WAYS), n)
    if alike:
        swatched = wanted[:, None] + np.zeros(shape, dtype=np.int64)
    wide = np.array([w.width_mm for w in WAYS]) * np.exp(_off(draw, n, tension))
    high = np.array([w.height_mm for w in WAYS]) * np.exp(_off(draw, n, tension))
    stitches, rows = (
        np.floor(FOUR_IN_MM / (true[each[:, None], swatched] * np.exp(draw.normal(0, 1, shape) * swatch_piece)) + 0.5)
        for true in (wide, high)
    )
    girth = PEGS * wide[each, wanted] * np.exp(draw.normal(0, 0.02, n))
    return Knitters(swatched, stitches, rows, wanted, girth)


def _off(draw: np.random.Generator, n: int, tension: float) -> Floats:
    """ln(true / guess) of each knitter (down) at each way (across): the effects of the design, one draw each."""
    off = draw.normal(0, tension, (n, 1)) + np.zeros((n, len(WAYS)))
    for sd, names in (
        (0.08, [w.loom for w in WAYS]),
        (0.04, [f"{w.yarn} {w.strands}" for w in WAYS]),
        (0.08, [w.stitch for w in WAYS]),
        (0.03, [str(i) for i in range(len(WAYS))]),
    ):
        kinds = sorted(set(names))
        off += draw.normal(0, sd, (n, len(kinds)))[:, [kinds.index(name) for name in names]]
    return off

"""A pair of hands that works the printed words of a sheet, loop by loop, and objects to whatever cannot be done.

Every sentence must be one that is known here; the yarn is somewhere and goes from peg to peg; a loop that nothing holds
would run down. Nothing is taken from the program: only words, pegs and loops.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.solver.steps.printed import Wrong

PEGS = r"pegs? \d+(?:(?:, … | to | and |, )\d+)*"
LEN = r"(\d[\d ./]*(?:in|cm))"
Doing = Callable[..., None]
Sentence = tuple[re.Pattern[str], Doing]


@dataclass(eq=False)
class Loop:
    """A loop or a strand laid: `slides` if it goes round no peg; `held` once something runs through it."""

    made_by: str
    slides: bool = False
    held: bool = False


@dataclass
class Hands:
    """Pegs 1…n, lowest loop first; where the yarn is; what has happened, in order."""

    pegs: int
    flat: bool = False
    ring: bool = False
    openings: dict[str, int] = field(default_factory=dict)  # of pieces made before: how many pegs each
    on: dict[int, list[Loop]] = field(default_factory=dict)
    every: list[Loop] = field(default_factory=list)
    at: int | None = None
    turned: bool = False  # the last peg was wrapped and turned at, not knitted
    laid: list[dict[int, Loop]] = field(default_factory=list)
    events: list[str] = field(default_factory=list)
    tail_mm: float = 0.0
    cut_mm: float = 0.0
    off: str = ""  # passed over, sewn, gathered
    off_mm: float = 0.0
    threaded: list[int] = field(default_factory=list)
    loops_off: int = 0
    holes: list[str] = field(default_factory=list)  # ends drawn shut, in order
    drawable: bool = False  # the tail draws the start
    filled: bool = False
    scrap: list[int] = field(default_factory=list)
    half_loops: int = 0
    seamed: bool = False
    fast: list[str] = field(default_factory=list)
    row: int = 0
    stitches: int = 0
    set_up: int = 0
    woven: bool = False
    buried: bool = False
    kept: bool = False  # the tail of the last end hangs, to sew the piece on
    sewn_to: str = ""
    joined_mm: float = 0.0
    ribbed: int = 0  # rows with a purl peg
    rib_runs: int = 0  # and how many runs of them
    cups: int = 0  # of short rows
    measured: list[tuple[int, float]] = field(default_factory=list)  # so many rows, so long
    counted: list[str] = field(default_factory=list)  # stitches and rows over a length

    def __post_init__(self) -> None:
        self.on = {peg: [] for peg in range(1, self.pegs + 1)}

    # the yarn and the loops

    def go(self, peg: int) -> None:
        """The yarn goes to this peg: the next one either way, or the same again."""
        need(peg in self.on, f"there is no peg {peg}")
        if self.at is not None:
            away = abs(peg - self.at)
            away = away if self.flat else min(away, self.pegs - away)
            need(away <= 1, f"the yarn is at peg {self.at} and peg {peg} is out of its way")
        self.at, self.turned = peg, False

    def put(self, peg: int, loop: Loop, below: bool = False) -> None:
        self.every.append(loop)
        self.on[peg].insert(0 if below else len(self.on[peg]), loop)

    def stitch(self, peg: int, wraps: int = 0) -> None:
        """Knit or purl a peg: its one loop, and the wraps that are said to lie with it, over a new one."""
        need(bool(self.tail_mm) and not self.cut_mm, "the yarn hangs from the work, uncut")
        self.go(peg)
        loops, turns = self.on[peg], sum(loop.made_by == "turn" for loop in self.on[peg])
        need(turns == wraps, f"peg {peg} holds {turns} wraps where {wraps} are taken up")
        need(len(loops) - turns == 1, f"peg {peg} holds {len(loops) - turns} loops before its stitch")
        for loop in loops:
            loop.held = True
        self.on[peg] = []
        self.put(peg, Loop("stitch"))
        self.stitches += 1

    def finish(self) -> Hands:
        """Nothing lies on the loom, nothing can run down, no end of yarn is loose."""
        need(not any(self.on.values()), "a loop is left on the loom")
        need(bool(self.off), "the last row is not bound off, sewn or gathered")
        loose = sorted({loop.made_by for loop in self.every if not loop.held})
        need(not loose, f"loops of {', '.join(loose)} would run down")
        need(not self.drawable or "start" in self.holes, "a start laid to be drawn is not drawn")
        need(self.off != "gathered" or "end" in self.holes, "the gathered end is not drawn shut")
        need(sorted(self.fast) == ["cut end", "first tail"], f"made fast: {self.fast}")
        need(not self.half_loops, "a half loop at a corner is left open")
        need(self.seamed or not (self.flat and self.holes), "what was worked flat and drawn shut is sewn to a tube")
        need(len(self.holes) < 2 or self.filled, "a piece closed all round is empty")
        return self


def need(holds: bool, words: str) -> None:
    """Object unless it holds."""
    if not holds:
        raise Wrong(words)


def says(known: list[Sentence], *patterns: str) -> Callable[[Doing], Doing]:
    """Teach what a sentence asks for, by its words as patterns; {P} are pegs, {L} a length."""

    def keep(do: Doing) -> Doing:
        for words in patterns:
            spelt = words.replace("{P}", f"({PEGS})").replace("{L}", LEN)
            known.append((re.compile(spelt), do))
        return do

    return keep

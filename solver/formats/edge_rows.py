"""What the drawings of edges share: their shape, a stretch of pegs in a row, loops on their pegs, yarn on its way.

All is seen from above, the outside of the loom at the foot. A loop on its peg comes up out of the knitting, goes round
the outside of the peg and back. A needle passes *through* it where it lies under one of its sides and over the other;
on its way back over and under, the other way through the same hole.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from solver.formats.strands import OVER, UNDER, Dot, Frame, Lettering, Placing, Point, Strand, laid

APART, PEG, HALF, OUT, FEET = 92.0, 14.0, 29.0, 58.0, -104.0  # peg to peg; a peg; a loop: half as wide, out, in
TOP, LEFT, FOOT = 142.0, 84.0, 108.0  # of the middle of the first peg: from the top, the left, the foot
KNITTING, OUTSIDE = "the knitting, inside the loom", "outside, where you stand"
IN_A_ROW = 3  # pegs drawn of those worked one after the other


@dataclass(frozen=True, slots=True)
class EdgeShape:
    """What is drawn: the kind of edge, its pegs in the order of work, and whether they go round.

    `words` are of each frame its title, what is to be done, and what is seen.
    """

    kind: str
    pegs: tuple[int, ...]
    round: bool
    words: tuple[tuple[str, str, str], ...]

    @property
    def falls(self) -> bool:
        """Whether work goes from the last peg back to the first, so to the left."""
        return self.pegs[1] < self.pegs[0]


class Thread:
    """The yarn of the needle on its way, stretch by stretch."""

    def __init__(self, *knots: Point) -> None:
        self.knots = list(knots)
        self.heights = [OVER] * (len(knots) - 1)
        self.older = 0

    def to(self, *knots: Point, height: int = OVER) -> "Thread":
        """On to further knots."""
        self.knots += knots
        self.heights += [height] * len(knots)
        return self

    def through(self, x: float, y: float, way: int = 1, clear: float = 40) -> "Thread":
        """Through the loop at `x`: under its left side and over its right on the way forward, and so back."""
        before, after = (UNDER, OVER) if way > 0 else (OVER, UNDER)
        return self.to((x, y), height=before).to((x + way * clear, y), height=after)

    def now(self) -> "Thread":
        """What is laid so far was laid in the step before."""
        self.older = len(self.heights)
        return self

    def strand(self) -> Strand:
        """The yarn as a strand."""
        return Strand("yarn", "yarn", tuple(self.knots), tuple(self.heights), self.older)


def row(shape: EdgeShape, i: int, strands: Sequence[Strand]) -> Frame:
    """The i-th frame, of the first pegs side by side; work goes to the right, or to the left where numbers fall."""
    width = 2 * LEFT + (IN_A_ROW - 1) * APART
    put = placing(shape)
    frame = Frame(width, TOP + FOOT, *shape.words[i], peg=PEG)
    frame.pegs = [Dot(*put(at(k), 0), str(shape.pegs[k])) for k in range(IN_A_ROW)]
    frame.runs = laid(strands, put)
    frame.cloth = [f"M6,{TOP + FEET - 24:g} H{width - 6:g} V{TOP + FEET:g} H6 Z"]
    frame.texts = [Lettering(width / 2, TOP + FEET - 7, KNITTING), Lettering(width / 2, TOP + FOOT - 5, OUTSIDE)]
    return frame


def placing(shape: EdgeShape) -> Placing:
    """Where a place in the row stands on the page; mirrored where work goes to the left."""
    width = 2 * LEFT + (IN_A_ROW - 1) * APART
    return lambda x, y: (width - x if shape.falls else x, TOP + y)


def at(k: float) -> float:
    """The middle of the k-th peg in the order of work, from 0."""
    return LEFT + k * APART


def symmetric(name: str, x: float, tip: float, side: Sequence[Point]) -> Strand:
    """A loop by its left side, from its foot on (how far from the middle, how far out), and how far out its tip is."""
    left, right = [(x - away, y) for away, y in side], [(x + away, y) for away, y in side[::-1]]
    return Strand(name, "loop", (*left, (x, tip), *right))


def loop(shape: EdgeShape, k: int) -> Strand:
    """The loop of the k-th peg, on its peg."""
    return symmetric(f"loop {shape.pegs[k]}", at(k), OUT, ((12, FEET), (24, -62), (HALF, 0), (24, 34)))

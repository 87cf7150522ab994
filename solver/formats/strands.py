"""Yarn as it lies, from above, as geometry: strands that go over and under each other, pegs, a needle.

A strand is a line through knots. Of each stretch between two knots it is known how high it lies: whatever lies higher
is drawn later, so that it covers what it crosses. Units are those of a page: 1 px where the drawing is not scaled.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby

UNDER, LEVEL, OVER = -1, 0, 1  # how high a stretch lies
Point = tuple[float, float]
Placing = Callable[[float, float], Point]


@dataclass(frozen=True, slots=True)
class Strand:
    """A line of yarn: its name, what is drawn ("loop", "yarn"), its knots, and the height of each stretch.

    One height stands for all stretches. The first `older` of them were laid in the step before.
    """

    name: str
    kind: str
    knots: tuple[Point, ...]
    heights: tuple[int, ...] = (LEVEL,)
    older: int = 0


@dataclass(frozen=True, slots=True)
class Run:
    """A part of a strand that lies at one height: `place` counts the parts along it, `kind` is how it is drawn."""

    name: str
    place: int
    kind: str
    height: int
    path: str


@dataclass(frozen=True, slots=True)
class Dot:
    """A peg from above, with its number; "" for one that stands for others."""

    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class Lettering:
    """A text at a place."""

    x: float
    y: float
    text: str
    anchor: str = "middle"


@dataclass(slots=True)
class Frame:
    """One step of a drawing: a title, what is to be done, and what is seen, said in full."""

    width: float
    height: float
    title: str
    words: str
    seen: str
    peg: float
    cloth: list[str] = field(default_factory=list)
    holes: list[str] = field(default_factory=list)
    pegs: list[Dot] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    needles: list[str] = field(default_factory=list)
    moves: list[str] = field(default_factory=list)
    heads: list[str] = field(default_factory=list)
    texts: list[Lettering] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class EdgePicture:
    """How an edge is worked: its frames, in order."""

    kind: str
    frames: tuple[Frame, ...]


def laid(strands: Sequence[Strand], placing: Placing) -> list[Run]:
    """All parts of all strands, the lowest first: in that order they are drawn."""
    return sorted((run for strand in strands for run in _runs(strand, placing)), key=lambda run: run.height)


def _runs(strand: Strand, placing: Placing) -> Iterator[Run]:
    curves = list(_curves([placing(x, y) for x, y in strand.knots]))
    heights = strand.heights * len(curves) if len(strand.heights) == 1 else strand.heights
    told = [(height, i < strand.older) for i, height in enumerate(heights)]
    at = 0
    for place, ((height, older), same) in enumerate(groupby(told)):
        many = len(list(same))
        kind = f"{strand.kind} older" if older else strand.kind
        yield Run(strand.name, place, kind, height, _path(curves[at : at + many]))
        at += many


Curve = tuple[Point, Point, Point, Point]


def _curves(knots: Sequence[Point]) -> Iterator[Curve]:
    """A smooth line through all knots, one cubic for each stretch (Catmull and Rom's)."""
    ends = [knots[0], *knots, knots[-1]]
    for (ax, ay), (bx, by), (cx, cy), (dx, dy) in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        yield (
            (bx, by),
            (bx + (cx - ax) / 6, by + (cy - ay) / 6),
            (cx - (dx - bx) / 6, cy - (dy - by) / 6),
            (cx, cy),
        )


def _path(curves: Sequence[Curve]) -> str:
    start = curves[0][0]
    return f"M{_at(start)}" + "".join(f" C{_at(a)} {_at(b)} {_at(c)}" for _, a, b, c in curves)


def _at(point: Point) -> str:
    return f"{point[0]:.1f},{point[1]:.1f}"


def line(knots: Sequence[Point], placing: Placing) -> str:
    """A smooth line as a path."""
    return _path(list(_curves([placing(x, y) for x, y in knots])))


def needle(eye: Point, tip: Point, placing: Placing) -> str:
    """A blunt needle from its eye, where the yarn is, to its tip."""
    (ex, ey), (tx, ty) = placing(*eye), placing(*tip)
    ax, ay = (tx - ex) / 12, (ty - ey) / 12
    body = f"M{_at((ex, ey))} C{_at((ex - ay, ey + ax))} {_at((tx - ay, ty + ax))} {_at((tx, ty))}"
    return f"{body} C{_at((tx + ay, ty - ax))} {_at((ex + ay, ey - ax))} {_at((ex, ey))} Z"


def head(knots: Sequence[Point], placing: Placing) -> str:
    """The head of an arrow along a line: a triangle at its last knot."""
    (ax, ay), (bx, by) = (placing(x, y) for x, y in knots[-2:])
    long = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 or 1.0
    ux, uy = 9 * (bx - ax) / long, 9 * (by - ay) / long
    left, right = (bx - ux - uy / 2, by - uy + ux / 2), (bx - ux + uy / 2, by - uy - ux / 2)
    return f"M{_at((bx, by))} L{_at(left)} L{_at(right)} Z"

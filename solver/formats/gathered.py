"""An edge that is gathered off, drawn: the yarn through every loop while each is on its peg, then drawn shut."""

from collections.abc import Sequence
from math import cos, pi, sin

from solver.formats.edge_rows import KNITTING, OUTSIDE, EdgeShape, Thread, symmetric
from solver.formats.strands import UNDER, Dot, Frame, Lettering, Placing, Point, Strand, laid, needle

MOST, MOST_FLAT = 9, 5  # pegs drawn for a whole round, and for a whole row
GAP, GAP_ROUND, LEAST = 66.0, 78.0, 96.0  # from peg to peg; the least radius of a round
IN, BIGHT = -46.0, 52.0  # of a loop from its peg: its feet, and as far out as it goes
ONCE, TWICE = 24.0, 37.0  # where the yarn passes through it, and the second time through the first
PEG, BESIDE, ABOVE, BELOW = 12.0, 64.0, 96.0, 110.0
RIM, EDGE, DRAWN, DRAWN_TWICE = 162.0, 126.0, 52.0, 42.0  # drawn shut, from the middle: the knitting, and the yarn


def gathered(shape: EdgeShape) -> list[Frame]:
    """Its two frames. Of many pegs the first and the last have their numbers, bare ones stand for others."""
    names = drawn(shape.pegs, shape.round)
    threaded = _in_the_round(shape, names) if shape.round else _in_a_row(shape, names)
    return [threaded, _drawn_shut(shape, names)]


def drawn(pegs: tuple[int, ...], in_the_round: bool) -> list[str]:
    """What stands at each peg that is drawn: its number, or nothing where it stands for others."""
    most = MOST if in_the_round else MOST_FLAT
    if len(pegs) <= most:
        return [str(peg) for peg in pegs]
    return [*map(str, pegs[: most // 2]), *[""] * (most - most // 2 - 2), *map(str, pegs[-2:])]


def _loop(names: Sequence[str], k: int, x: float, tip: float, side: Sequence[Point]) -> Strand:
    return symmetric(f"loop {names[k] or f'between, {k}'}", x, tip, side)


def _in_the_round(shape: EdgeShape, names: Sequence[str]) -> Frame:
    many = len(names)
    radius = max(GAP_ROUND * many / (2 * pi), LEAST)
    middle = radius + BIGHT + 34
    frame = Frame(2 * middle, 2 * middle, *shape.words[0], peg=PEG)
    frame.cloth, frame.texts = [_disc(middle, radius + IN)], [Lettering(middle, middle + 5, "the knitting")]

    def put(x: float, y: float) -> Point:
        return _around(middle, radius + y, x / radius)

    gap = 2 * pi * radius / many
    yarn, end = _all_through(many, gap), many * gap
    yarn.to((end - 0.36 * gap, ONCE + 8)).through(end, TWICE, clear=0.42 * gap)
    return _filled(frame, names, gap, yarn, end, put)


def _in_a_row(shape: EdgeShape, names: Sequence[str]) -> Frame:
    """Flat: from the last loop the yarn goes back along the outside to the first."""
    many, wide = len(names), 2 * BESIDE + GAP * (len(names) - 1)
    frame = Frame(wide, ABOVE + BELOW, *shape.words[0], peg=PEG)
    frame.cloth = [f"M6,{ABOVE + IN - 24:g} H{wide - 6:g} V{ABOVE + IN:g} H6 Z"]
    frame.texts = [
        Lettering(wide / 2, ABOVE + IN - 7, KNITTING),
        Lettering(wide / 2, ABOVE + BELOW - 6, OUTSIDE),
    ]

    def put(x: float, y: float) -> Point:
        return (wide - BESIDE - x if shape.falls else BESIDE + x, ABOVE + y)

    yarn = _all_through(many, GAP)
    yarn.to(((many - 0.5) * GAP, 40), ((many - 0.7) * GAP, 66), ((many - 2) * GAP, 72), (0.4 * GAP, 72))
    yarn.to((-0.3 * GAP, 66), (-0.5 * GAP, 48), (-0.4 * GAP, 37)).through(0, TWICE, clear=0.42 * GAP)
    return _filled(frame, names, GAP, yarn, 0.0, put)


def _all_through(many: int, gap: float) -> Thread:
    """From the row just worked, before the first loop, through each of them in order."""
    yarn = Thread((-0.5 * gap, IN), (-0.42 * gap, 0), (-0.36 * gap, 20))
    for k in range(many):
        if k:
            yarn.to(((k - 0.4) * gap, ONCE))
        yarn.through(k * gap, ONCE, clear=0.4 * gap)
    return yarn


def _filled(frame: Frame, names: Sequence[str], gap: float, yarn: Thread, end: float, put: Placing) -> Frame:
    """With pegs, a loop on each, the yarn, and the needle where it comes out of the loop at `end`."""
    side = ((8, IN), (14, -24), (20, 0), (17, 30))
    loops = [_loop(names, k, k * gap, BIGHT, side) for k in range(len(names))]
    frame.pegs = [Dot(*put(k * gap, 0), name) for k, name in enumerate(names)]
    frame.runs = laid([*loops, yarn.strand()], put)
    frame.needles = [needle((end + 0.42 * gap, TWICE), (end + 0.6 * gap, 88), put)]
    return frame


def _drawn_shut(shape: EdgeShape, names: Sequence[str]) -> Frame:
    """The loops off their pegs, lying towards the middle, and the yarn through them drawn up.

    A loop that is turned inwards has its yarn turned with it: what lay under its left side now lies over that.
    """
    many = len(names)
    frame = Frame(2 * RIM + 12, 2 * RIM + 12, *shape.words[1], peg=PEG)
    middle = frame.width / 2

    def put(x: float, y: float) -> Point:
        return _around(middle, y, 2 * pi * x / many)

    yarn = Thread((-0.5, EDGE), (-0.5, 86), (-0.36, DRAWN + 2))
    for k in range(many):
        if k:
            yarn.to((k - 0.36, DRAWN), height=UNDER)
        yarn.to((k, DRAWN)).to((k + 0.36, DRAWN), height=UNDER)
    yarn.to((many - 0.36, 48), height=UNDER).to((many, DRAWN_TWICE)).to((many + 0.4, DRAWN_TWICE), height=UNDER)
    side = ((0.2, EDGE), (0.3, 92), (0.27, 58))
    frame.cloth, frame.holes = [_disc(middle, RIM)], [_disc(middle, EDGE)]
    frame.texts = [Lettering(middle, middle - EDGE - 13, "the knitting")]
    frame.runs = laid([*(_loop(names, k, k, 31, side) for k in range(many)), yarn.strand()], put)
    frame.needles = [needle((many + 0.4, DRAWN_TWICE), (1.45 * many + 0.4, 26), put)]
    return frame


def _around(middle: float, out: float, turn: float) -> Point:
    """A place in the round: `turn` from the lowest point on to the right."""
    return middle + out * sin(turn), middle + out * cos(turn)


def _disc(middle: float, radius: float) -> str:
    arc = f"A{radius:.1f},{radius:.1f} 0 1 0 {middle:.1f}"
    return f"M{middle:.1f},{middle - radius:.1f} {arc},{middle + radius:.1f} {arc},{middle - radius:.1f} Z"

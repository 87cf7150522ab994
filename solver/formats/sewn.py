"""An edge that is sewn with the needle, drawn: forward through two loops, back through the first, and one peg on."""

from solver.formats.edge_rows import FEET, EdgeShape, Thread, at, loop, placing, row, symmetric
from solver.formats.strands import UNDER, Frame, needle

A, B, C = at(0), at(1), at(2)
FIRST, SECOND, BACK = 23.0, 34.0, 46.0  # how far outside its peg the yarn passes a loop, time by time


def sewn(shape: EdgeShape) -> list[Frame]:
    """Its three frames: what was laid in the frame before is drawn as older."""
    loops = [loop(shape, k) for k in range(3)]
    off = symmetric(f"loop {shape.pegs[0]}", A, -36, ((12, FEET), (25, -76), (21, -46)))
    frames = [
        row(shape, 0, [*loops, _forward(shape).strand()]),
        row(shape, 1, [*loops, _back(shape).strand()]),
        row(shape, 2, [off, *loops[1:], _once_more(shape).strand()]),
    ]
    ends = (((B + 40, 24), (B + 55, 82)), ((A - 39, 41), (A - 78, 56)), ((B - 39, 47), (B - 72, 82)))
    for frame, (eye, tip) in zip(frames, ends, strict=True):
        frame.needles = [needle(eye, tip, placing(shape))]
    return frames


def _forward(shape: EdgeShape) -> Thread:
    """From the last peg, or flat from the row just worked, through two loops on their pegs."""
    start = ((0.0, FIRST), (A - 40, FIRST)) if shape.round else ((A - 34, FEET), (A - 50, -30), (A - 42, 18))
    return Thread(*start).through(A, FIRST).to((B - 40, FIRST)).through(B, FIRST)


def _back(shape: EdgeShape) -> Thread:
    """Outside the second loop, and the other way through the first."""
    back = _forward(shape).now().to((B + 47, 42), (B + 34, 68), (B, 75), (B - 36, 68), (A + 44, 48))
    return back.through(A, 41, -1)


def _once_more(shape: EdgeShape) -> Thread:
    """The first loop is off, inside its peg, and the yarn with it; then the same through the second and the third."""
    start = ((0.0, -60.0), (A - 44, -76)) if shape.round else ((A - 40, FEET), (A - 46, -86), (A - 36, -77))
    yarn = Thread(*start).through(A, -78, clear=36).to((A + 49, -36), (A + 50, 6)).through(B, FIRST)
    yarn.to((B + 47, 42), (B + 34, 68), (B, 75), (B - 36, 68), (A + 41, 40), (A + 33, -4), (A + 33, -46))
    yarn.through(A, -58, -1, 34).now()
    yarn.to((A - 48, -42), (A - 34, -25), (A, -23), (A + 22, -18), (A + 44, 12), height=UNDER)
    yarn.through(B, SECOND).to((C - 40, 25)).through(C, FIRST)
    yarn.to((C + 47, 42), (C + 34, 68), (C, 75), (C - 36, 68), (B + 44, 53))
    return yarn.through(B, BACK, -1)

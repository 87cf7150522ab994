"""An edge that is passed over, drawn: loop onto loop, the lower over the upper, and what is left moved back."""

from dataclasses import replace

from solver.formats.edge_rows import FEET, EdgeShape, at, loop, placing, row
from solver.formats.strands import LEVEL, OVER, UNDER, Frame, Point, Strand, head, line


def passed_over(shape: EdgeShape) -> list[Frame]:
    """Its three frames; the loop that is lifted over is drawn as the older one."""
    upper, third, own = _moved(shape), loop(shape, 2), loop(shape, 0)
    frames = [
        row(shape, 0, [replace(own, older=len(own.knots)), replace(upper, heights=(OVER,)), third]),
        row(shape, 1, [_lifted(shape), upper, third]),
        row(shape, 2, [_drawn_along(shape), loop(shape, 1), third]),
    ]
    moves: tuple[tuple[Point, ...], ...] = (
        ((at(1), 30), (at(0.75), 62), (at(0.45), 52)),
        ((at(-0.5), 40), (at(-0.62), 0), (at(-0.45), -50)),
        ((at(0.1), 40), (at(0.3), 70), (at(0.62), 60)),
    )
    for frame, move in zip(frames, moves, strict=True):
        frame.moves, frame.heads = [line(move, placing(shape))], [head(move, placing(shape))]
    return frames


def _moved(shape: EdgeShape) -> Strand:
    """The loop of the second peg on the first, close round it."""
    peg, foot = at(0), at(1)
    knots = (
        (foot - 12, FEET), (peg + 38, -54), (peg + 2, -22), (peg - 15, -12), (peg - 19, 3), (peg - 13, 17),
        (peg + 2, 22), (peg + 16, 16), (peg + 25, -4), (peg + 54, -46), (foot + 12, FEET),
    )  # fmt: skip
    return Strand(f"loop {shape.pegs[1]}", "loop", knots, (LEVEL,))


def _lifted(shape: EdgeShape) -> Strand:
    """The first loop, lifted over: on its way out it lies under both sides of the second, on its way back over them."""
    x = at(0)
    knots = (
        (x - 12, FEET), (x - 10, -74), (x + 4, -52), (x + 26, -35), (x + 54, -22),
        (x + 76, -32), (x + 74, -52), (x + 48, -74), (x + 24, -88), (x + 12, FEET),
    )  # fmt: skip
    return Strand(f"loop {shape.pegs[0]}", "loop", knots, (UNDER,) * 5 + (OVER,) * 4, 9)


def _drawn_along(shape: EdgeShape) -> Strand:
    """The same once the second loop is on its peg again: a link of the chain that the edge becomes."""
    x, nxt = at(0), at(1)
    knots = (
        (x - 12, FEET), (x - 6, -72), (x + 26, -52), (nxt - 24, -46), (nxt + 18, -46), (nxt + 40, -58),
        (nxt + 22, -74), (nxt - 24, -76), (x + 36, -80), (x + 12, FEET),
    )  # fmt: skip
    return Strand(f"loop {shape.pegs[0]}", "loop", knots, (UNDER,) * 5 + (OVER,) * 4, 9)

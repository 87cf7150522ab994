"""From a step that takes the loops off their pegs to its drawing, each frame with its words."""

from collections.abc import Sequence

from solver.formats.blocks import Drawing
from solver.formats.edge_rows import EdgeShape
from solver.formats.edges import edge_picture
from solver.formats.gathered import drawn
from solver.steps.step import BindOff, PieceSteps, Sew, Step, Through
from solver.terms import Terms

FEWEST = 3  # pegs: with fewer there is no "and so on"
Frames = tuple[tuple[str, str, str], ...]


def edge_drawing(step: Step, piece: PieceSteps, terms: Terms) -> Drawing | None:
    """How the loops come off, by the pegs of the step; None for any other step."""
    if not isinstance(step, BindOff | Sew | Through) or len(step.pegs) < FEWEST:
        return None
    kind, caption, words = _told(step, piece, terms)
    shape = EdgeShape(kind, tuple(step.pegs), not piece.flat, words)
    return Drawing(edge_picture(shape), caption)


def _told(step: BindOff | Sew | Through, piece: PieceSteps, terms: Terms) -> tuple[str, str, Frames]:
    off = terms.word["binding_off"].capitalize()
    match step:
        case BindOff():
            return (
                "passed over",
                f"{off}, seen from above: knit two, lift one over the other. Grey: the loop that is lifted.",
                _passed_over(step.pegs),
            )
        case Sew():
            return (
                "sewn",
                f"{off} with the needle, seen from above: forward two loops, back one. Grey: what lies there already.",
                _sewn(step.pegs, piece.flat),
            )
        case Through():
            few = len(drawn(tuple(step.pegs), not piece.flat)) < len(step.pegs)
            stand = f" The pegs drawn stand for all {len(step.pegs)}." if few else ""
            return "gathered", f"Gathering off, seen from above.{stand}", _gathered(step.pegs, piece.flat)


def _passed_over(pegs: Sequence[int]) -> Frames:
    a, b, c = pegs[:3]
    return (
        (
            f"The loop of peg {b} is moved onto peg {a}",
            f"Both are knitted. Move the loop of peg {b} onto peg {a}, above its own.",
            f"Peg {a} holds two loops: its own below, and the loop of peg {b} above it. Peg {b} is empty, and peg {c} "
            "holds its loop.",
        ),
        (
            f"The lower loop is lifted over the upper on peg {a}",
            "Lift the lower loop over the upper and off the peg, to the inside.",
            f"The loop of peg {a} has left its peg. It lies round both sides of the loop of peg {b}: back over them, "
            f"where it was lifted, and out under them, where it comes from. The loop of peg {b} is alone on peg {a}.",
        ),
        (
            f"The loop that is left is moved back to peg {b}",
            f"Move the loop that is left back to peg {b}; peg {a} is empty. Knit peg {c}, and so on.",
            f"The loop of peg {b} is on its peg again, and the loop of peg {a} lies round both its sides, as a link of "
            f"a chain. Peg {a} is empty.",
        ),
    )


def _sewn(pegs: Sequence[int], flat: bool) -> Frames:
    a, b, c = pegs[:3]
    left, right = ("right", "left") if b < a else ("left", "right")
    start = "from the knitting" if flat else f"from peg {pegs[-1]}"
    through = f"under the {left} side and over the {right} side"
    return (
        (
            f"Forward through the loops on pegs {a} and {b}",
            f"Forward through the loops on pegs {a} and {b}, which stay on their pegs.",
            f"The yarn comes {start} and goes outside the pegs through the loop on peg {a}, {through} of it, then the "
            f"same way through the loop on peg {b}. Every loop is on its peg.",
        ),
        (
            f"Back through the loop on peg {a}",
            f"Back through the loop on peg {a}, the other way; then lift that loop off its peg.",
            f"The yarn turns back outside the loop on peg {b} and goes through the loop on peg {a} once more, over its "
            f"{right} side and under its {left} side. Every loop is still on its peg.",
        ),
        (
            f"Forward through the loops on pegs {b} and {c}, back through that on peg {b}",
            f"Once more, one peg on: forward through the loops on pegs {b} and {c}, back through that on peg {b}. "
            "Lift it off; and so on.",
            f"The loop of peg {a} is off its peg and held by the yarn, which goes forward, {through}, through the "
            f"loops on pegs {b} and {c}, turns back outside the loop on peg {c}, and goes through the loop on peg {b} "
            f"the other way. Three strands now lie in that loop.",
        ),
    )


def _gathered(pegs: Sequence[int], flat: bool) -> Frames:
    back = "goes back along the outside to" if flat else "comes round to"
    return (
        (
            "The needle through every loop, all on their pegs",
            f"Through the loop on every peg, from peg {pegs[0]} on to peg {pegs[-1]}, and once more through the first. "
            "No loop leaves its peg before that.",
            "The yarn goes outside the pegs through every loop, each time under the one side of it and over the "
            f"other, then {back} the first and through its loop again. Every loop is on its peg.",
        ),
        (
            "The loops off their pegs and drawn shut",
            "Only then lift the loops off, and draw the yarn up until the hole is shut.",
            "The loops are off their pegs and lie in a ring, their tips towards the middle. The yarn runs through all "
            "of them and is drawn up round the hole.",
        ),
    )

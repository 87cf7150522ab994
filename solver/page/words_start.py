"""The words of how a piece begins."""

from solver.steps.step import KnitOver, LiftEdge, PickUp, PieceSteps, Tail, Wrap
from solver.terms import Terms, count, some

CORNERS = (
    "At a corner go on to the next peg in order, as if there were no corner, and do not pull the yarn tight across it."
)


def tail_words(step: Tail, terms: Terms, piece: PieceSteps) -> list[str]:
    length = terms.tape(step.tail_um)
    if piece.picked_up and piece.flat:
        return [f"Begin with a new end of yarn at peg {piece.pegs}, and leave {length} of it hanging."]
    if piece.picked_up:
        return [f"Begin with a new end of yarn at peg 1, and leave {length} of it hanging inside."]
    if piece.flat:
        return [f"Let {length} of yarn hang down beside peg 1."]
    later = "it draws this end shut later" if piece.drawn_start else "it closes the edge later"
    return [f"Let {length} of yarn hang down through the middle of the loom: {later}."]


def wrap_words(step: Wrap, piece: PieceSteps) -> list[str]:
    n, around = len(step.pegs), [CORNERS] if piece.corners else []
    if step.woven:
        between = range(step.pegs[0] + 1, piece.pegs + 1, 2)
        return [
            f"First round, woven: lay the yarn outside {some(step.pegs)} and inside {some(between)}, round none of "
            f"them. That is {count(n, 'strand')} across the outside; it must be able to slide.",
            *around,
        ]
    if piece.drawn_start:
        return [
            f"Second round, every peg: wrap {some(step.pegs)} in order. Now {some(step.pegs[::2])} hold two strands, "
            f"and {some(step.pegs[1::2])} hold one."
        ]
    if n < piece.pegs:
        rest = f"{some(range(n + 1, piece.pegs + 1))} stay empty for now"
        return [f"Wrap {some(step.pegs)}, backwards, once each: {count(n, 'loop')}; {rest}."]
    return [f"Wrap {some(step.pegs)} in order, once each: {count(n, 'loop')}.", *around]


def pick_up_words(step: PickUp, terms: Terms, piece: PieceSteps) -> list[str]:
    half = len(step.pegs) // 2
    drawn = terms.say(
        "Draw the {scrap_yarn} out of the opening of the {piece}, one loop at a time: {lower} loops lie open on "
        "its lower edge, and on its upper {upper} and half a loop at either corner.",
        piece=step.opening,
        lower=half,
        upper=half - 1,
    )
    if piece.flat:
        return [drawn, _onto_one_side(step.pegs, piece.ring)]
    return [
        drawn,
        f"Lift them onto the loom as they come free: the lower edge onto {some(step.pegs[:half])}, then the upper "
        f"edge, back the other way, onto {some(step.pegs[half:])}: first the half loop at the corner beside peg "
        f"{half}, onto peg {half + 1}, so that no gap is left there, then the whole ones. The half loop at the other "
        "corner, beside peg 1, stays off the loom. Every peg now holds one loop.",
    ]


def _onto_one_side(pegs: range, ring: bool) -> str:
    """For what is worked flat, with a loop more on the upper edge where the pegs are odd."""
    half, last = len(pegs) // 2, pegs[-1]
    onto, along = ("the ring", "the ring") if ring else ("one side of the loom", "that side")
    ends = (
        f"then the whole ones, and last the half loop at the other corner, onto peg {last}."
        if len(pegs) % 2
        else "then the whole ones. The half loop at the other corner, beside peg 1, stays off the loom."
    )
    return (
        f"Lift them onto {onto} as they come free: the lower edge onto {some(pegs[:half])}, then the upper edge, on "
        f"along {along}, onto {some(pegs[half:])}: first the half loop at the corner beside peg {half}, onto peg "
        f"{half + 1}, so that no gap is left there, {ends} {count(len(pegs), 'peg')} now hold one loop each."
    )


def lift_edge_words(step: LiftEdge) -> list[str]:
    return [
        f"Fold the cup up. Lift the {count(len(step.edge), 'loop')} of its cast-on edge onto the empty pegs: that of "
        f"peg {step.edge[-1]} onto peg {step.pegs[0]}, and so on, that of peg {step.edge[0]} onto peg {step.pegs[-1]}.",
        "Every peg now holds one loop, and the yarn hangs at peg 1: from here on the work goes round.",
    ]


def knit_over_words(step: KnitOver) -> list[str]:
    return [
        f"Knit over only where two strands lie: on {some(step.pegs)} lift the lower over the upper and off the peg.",
        f"Leave {some(step.resting)} as they are: their one loop is a stitch already, and row 1 knits it over.",
        "Every peg now holds one loop.",
    ]

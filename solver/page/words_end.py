"""The words of how a piece comes off the loom and is made fast."""

from solver.steps.step import BindOff, Join, LiftOff, PieceSteps, PullShut, Secure, Sew, SewUp, Through
from solver.terms import Terms, count, some

SINK = (
    "sink the tail: run the needle through the filling and out on the far side, pull the yarn a little, and trim it "
    "close, so that its end slips back inside. No loop and no cord stays outside."
)
BURIED_UM = 50_800  # own: there and back it holds by itself


def bind_off_words(step: BindOff, terms: Terms) -> list[str]:
    first, second, last = step.pegs[0], step.pegs[1], step.pegs[-1]
    return [
        terms.say(
            "{Binding} takes about {yarn} of yarn: see that so much is left. Knit every stitch of it, loosely.",
            Binding=terms.word["binding_off"].capitalize(),
            yarn=terms.tape(step.yarn_um),
        ),
        f"Knit peg {first}, then peg {second}. Move the loop of peg {second} onto peg {first}, lift the lower loop "
        f"over the upper, and move the loop that is left back to peg {second}. Peg {first} is empty.",
        f"Go on in the same way, always knitting the next peg first, as far as peg {last}: one loop is left there.",
    ]


def sew_words(step: Sew, terms: Terms) -> list[str]:
    """Forward two loops, back one: three strands through every loop, so that the edge stretches as the fabric does."""
    first, second, third, last = step.pegs[0], step.pegs[1], step.pegs[2], step.pegs[-1]
    closes = (
        f"At peg {last} go forward through its loop and through the first stitch of the edge, which hung on peg "
        f"{first}, back through the loop of peg {last}, and lift it off."
        if step.round
        else f"At peg {last}, the last, go through its loop once more and lift it off."
    )
    return [
        terms.say(
            "Thread the cut end on a {yarn_needle}. Forward: pass it through the loops on pegs {first} and {second}, "
            "in the order of work. Back: pass it through the loop on peg {first} once more, the other way, and lift "
            "that loop off its peg.",
            first=first,
            second=second,
        ),
        f"Forward through the loops on pegs {second} and {third}, back through peg {second}, lift it off; and so on, "
        "two forward and one back. Draw the yarn through so far that the loops lie easily, never tight: the edge must "
        "stretch.",
        closes,
    ]


def through_words(step: Through, terms: Terms) -> list[str]:
    if len(step.pegs) == 1:
        return [f"Draw the cut end through the loop on {some(step.pegs)}."]
    return [
        terms.say(
            "Thread the cut end on a {yarn_needle} and pass it through the loop on each peg, {pegs} in the order of "
            "work, then once more through the first.",
            pegs=some(step.pegs),
        )
    ]


def lift_off_words(step: LiftOff) -> list[str]:
    if len(step.pegs) == 1:
        return ["Lift it off the peg and draw it snug."]
    return [f"Check that no loop was missed, then lift {count(len(step.pegs), 'loop')} off the pegs, a few at a time."]


def pull_shut_words(step: PullShut) -> list[str]:
    if step.end == "start":
        return [
            f"The tail of the cast-on runs through the first loops of {some(step.pegs)}. Pull it slowly and evenly, "
            "easing the loops along, until the hole is shut."
        ]
    return [
        f"Pull the cut end slowly and evenly through all {count(len(step.pegs), 'loop')}, easing them along, until "
        "the hole is shut.",
    ]


def fill_words() -> list[str]:
    """What goes in before the piece is closed all round."""
    return [
        "Fill it through the end that is still open, a little at a time and out to the sides first: firm, with "
        "nothing showing between the stitches. Use new, washable filling. Once this end is drawn shut the inside is "
        "out of reach."
    ]


def sew_up_words(step: SewUp, terms: Terms) -> list[str]:
    """The seam of a piece that was worked flat, down from its closed tip."""
    return [
        "Now it becomes a tube: with the same yarn sew its two side edges together, from the closed tip down along all "
        f"{count(step.rows, 'row')}, half a stitch of either edge taken into the seam, as far as the opening.",
        f"Bury the end on the inside for at least {terms.tape(BURIED_UM)}, there and back, and trim it.",
    ]


def join_words(step: Join, terms: Terms, piece: PieceSteps) -> list[str]:
    """How a ball is sewn to another, with its own tail."""
    return [
        f"Sew it to the {step.to} with that tail, its drawn hole against {step.where}: in a ring two rows out from the "
        f"hole take a small stitch into the {step.to} and one into the {piece.name} in turn, ten of each round the "
        f"hole and ten more, every one drawn tight. That takes about {terms.tape(step.yarn_um)} of the tail.",
        f"Then {SINK}",
    ]


def secure_words(step: Secure, terms: Terms, piece: PieceSteps) -> list[str]:
    if step.shut and step.end == "end" and piece.drawn_start:
        return [
            terms.say(
                "The inside is closed now, so fasten off outside: with the {yarn_needle} take four or five small "
                "stitches across the closed hole, catching every loop round it and drawing each one tight."
            ),
            f"Leave the rest of this tail hanging: it sews the {piece.name} on." if step.kept else f"Then {SINK}",
        ]
    if step.shut and step.end == "end" and piece.sewn_up:
        return [
            terms.say(
                "With the {yarn_needle} stitch across the closed hole three or four times, catching every loop round "
                "it, and do not cut the yarn."
            )
        ]
    if step.shut:
        return [
            terms.say(
                "With the {yarn_needle} stitch across the closed hole three or four times, catching every loop round "
                "it. Knot the yarn twice on the inside."
            ),
            f"Bury the end on the inside for at least {terms.tape(BURIED_UM)}, there and back, and trim it. No loop "
            "and no cord stays outside.",
        ]
    tail = "first tail" if step.end == "start" else "cut end"
    if piece.picked_up and step.end == "start":
        return [
            terms.say(
                "With the first tail close the gap at the corner beside peg 1{half}, and {weave_in} the rest.",
                half="" if piece.pegs % 2 else ", catching the half loop there",
            )
        ]
    if piece.cup_start and step.end == "start":
        return [terms.say("Close the gap beside the lifted edge with the first tail and {weave_in} the rest.")]
    if piece.flat:
        return [terms.say("{Weave} the {tail} along the edge.", Weave=terms.word["weave_in"].capitalize(), tail=tail)]
    return [terms.say("Close the small step in the edge with the {tail} and {weave_in} the rest.", tail=tail)]

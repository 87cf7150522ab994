"""The words of the steps: a few plain sentences for each, with every count taken from the step."""

from collections.abc import Sequence
from typing import assert_never

from solver.page.words_end import bind_off_words, lift_off_words, pull_shut_words, secure_words, through_words
from solver.page.words_rows import opening_words, rows_words, short_rows_words
from solver.page.words_start import knit_over_words, lift_edge_words, pick_up_words, tail_words, wrap_words
from solver.steps.step import (
    BindOff,
    Cut,
    KnitOver,
    LiftEdge,
    LiftOff,
    Opening,
    PickUp,
    PieceSteps,
    PullShut,
    Rows,
    Secure,
    ShortRows,
    Step,
    Tail,
    Through,
    Wrap,
)
from solver.terms import Terms

WRAP = "To wrap a peg: lead the yarn from the inside once round the peg and back to the inside, not tight."
KNIT = {
    "u-wrap": "To knit a peg (u-wrap): lay the yarn across the outside of the peg, above its loop, and lift the loop "
    "over it and off the peg.",
    "e-wrap": "To knit a peg (e-wrap): wind the yarn once right round the peg, above its loop, so that it crosses on "
    "the inside, and lift the loop over it and off the peg.",
}
PURL = (
    "To purl a peg: lay the yarn across its outside, below the loop. Reach down through the loop with the hook, draw "
    "the yarn up through it as a new loop, lift the old loop off and put the new one on."
)
TURN = (
    "To wrap and turn: lift the loop off the next peg, lay the yarn round that peg, put the loop back above it, and "
    "work back the other way."
)


def stitch_words(pieces: Sequence[PieceSteps], stitch: str) -> list[str]:
    """How each stitch that is used is worked, said once for the whole sheet."""
    steps = [step for piece in pieces for step in piece.steps]
    words = [WRAP] if any(isinstance(s, Wrap) for s in steps) else []
    words.append(KNIT[stitch])
    if any(isinstance(s, Rows) and "P" in s.pattern for s in steps):
        words.append(PURL)
    if any(isinstance(s, ShortRows) for s in steps):
        words.append(TURN)
    return words


def step_words(step: Step, terms: Terms, piece: PieceSteps) -> list[str]:
    """The sentences of one step."""
    match step:
        case Tail():
            return tail_words(step, terms, piece)
        case Wrap():
            return wrap_words(step, piece)
        case PickUp():
            return pick_up_words(step, terms)
        case LiftEdge():
            return lift_edge_words(step)
        case KnitOver():
            return knit_over_words(step)
        case Rows():
            return rows_words(step)
        case ShortRows():
            return short_rows_words(step)
        case Opening():
            return opening_words(step, terms)
        case _:
            return _off(step, terms, piece)


def _off(step: BindOff | Cut | Through | LiftOff | PullShut | Secure, terms: Terms, piece: PieceSteps) -> list[str]:
    """The sentences of a step that takes the work off the loom."""
    match step:
        case BindOff():
            return bind_off_words(step, terms)
        case Cut():
            return [f"Cut the yarn {terms.tape(step.tail_um)} beyond the last peg."]
        case Through():
            return through_words(step, terms)
        case LiftOff():
            return lift_off_words(step)
        case PullShut():
            return pull_shut_words(step, piece)
        case Secure():
            return secure_words(step, terms, piece)
        case _:
            assert_never(step)

"""The words of the steps: a few plain sentences for each, with every count taken from the step."""

from collections.abc import Sequence
from typing import TypeAlias, assert_never

from solver.page.words_end import (
    bind_off_words,
    fill_words,
    join_words,
    lift_off_words,
    pull_shut_words,
    secure_words,
    sew_up_words,
    sew_words,
    through_words,
)
from solver.page.words_rows import opening_words, rows_words, short_rows_words
from solver.page.words_start import knit_over_words, lift_edge_words, pick_up_words, tail_words, wrap_words
from solver.steps.step import (
    BindOff,
    Cut,
    Fill,
    Join,
    KnitOver,
    LiftEdge,
    LiftOff,
    Opening,
    PickUp,
    PieceSteps,
    PullShut,
    Rows,
    Secure,
    Sew,
    SewUp,
    ShortRows,
    Step,
    Tail,
    Through,
    Wrap,
)
from solver.terms import Terms

WRAP = (
    "To wrap a peg: bring the yarn from the inside once right round the peg, so that it crosses on the inside, "
    "not tight."
)
WEAVE = (
    "To weave: lay the yarn outside one peg and inside the next, round none of them. A strand so laid slides; one that "
    "goes right round a peg locks, and the end could not be drawn shut."
)
KNIT = {
    "u-wrap": "To knit a peg (u-wrap): bring the yarn from the inside round the outside of the peg, above its loop, "
    "and back to the inside past its far side; lift the loop over it and off the peg. (Yarn laid straight across the "
    "outside makes the flat stitch, which is tighter: not the one counted on here.)",
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
    wraps = [s for s in steps if isinstance(s, Wrap)]
    words = [WEAVE] if any(s.woven for s in wraps) else []
    words += [WRAP] if any(not s.woven for s in wraps) else []
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
            return pick_up_words(step, terms, piece)
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


Off: TypeAlias = BindOff | Sew | Cut | Through | LiftOff | Fill | PullShut | Secure | SewUp | Join


def _off(step: Off, terms: Terms, piece: PieceSteps) -> list[str]:
    """The sentences of a step that takes the work off the loom."""
    match step:
        case BindOff():
            return bind_off_words(step, terms)
        case Sew():
            return sew_words(step, terms)
        case Cut() if piece.sewn:
            return [
                f"Leave the loops on their pegs. Cut the yarn {terms.tape(step.tail_um)} beyond the last peg: that is "
                "what the needle needs to sew them off, and a tail."
            ]
        case Cut():
            return [f"Cut the yarn {terms.tape(step.tail_um)} beyond the last peg."]
        case Through():
            return through_words(step, terms)
        case LiftOff():
            return lift_off_words(step)
        case Fill():
            return fill_words()
        case PullShut():
            return pull_shut_words(step)
        case SewUp():
            return sew_up_words(step, terms)
        case Join():
            return join_words(step, terms, piece)
        case Secure():
            return secure_words(step, terms, piece)
        case _:
            assert_never(step)

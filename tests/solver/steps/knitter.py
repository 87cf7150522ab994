"""Somebody who works a printed sheet: knows every sentence of it, and does them one by one."""

from __future__ import annotations

import re

from tests.solver.steps import hands_end, hands_rows, hands_start
from tests.solver.steps.hands import Hands, need
from tests.solver.steps.printed import PrintedPiece, Wrong

SENTENCES = (*hands_start.KNOWN, *hands_rows.KNOWN, *hands_end.KNOWN)


def work(hands: Hands, piece: PrintedPiece) -> Hands:
    """Every step of a piece, sentence by sentence, to the last loop. Raises Wrong."""
    for step in piece.steps:
        read(hands, step)
    return hands.finish()


def read(hands: Hands, step: str) -> None:
    """Do what a step says, all of it. Raises Wrong for words that nobody knows."""
    left = step
    while left:
        for pattern, do in SENTENCES:
            found = pattern.match(left)
            if found:
                do(hands, *found.groups())
                left = left[found.end() :].lstrip()
                break
        else:
            raise Wrong(f"cannot be read: {left}")


KNOWN_STITCHES = {
    "To wrap a peg": r"bring the yarn from the inside once right round the peg, so that it crosses on the inside, not "
    r"tight\.",
    "To weave": r"lay the yarn (outside|inside) one peg and (outside|inside) the next, round none of them\. A "
    r"strand so laid slides; one that goes right round a peg locks, and the end could not be drawn shut\.",
    "To knit a peg (u-wrap)": r"bring the yarn from the inside round the outside of the peg, (above|below) its loop, "
    r"and back to the inside past its far side; lift (the loop over it) and off the peg\. \(Yarn laid straight across "
    r"the outside makes the flat stitch, which is tighter: not the one counted on here\.\)",
    "To knit a peg (e-wrap)": r"wind the yarn once right round the peg, (above|below) its loop, so that it crosses on "
    r"the inside, and lift (the loop over it) and off the peg\.",
    "To purl a peg": r"lay the yarn across its outside, (above|below) the loop\. Reach (up|down) through the loop with "
    r"the hook, draw the yarn (up|down) through it as a new loop, lift the old loop off and put the new one on\.",
    "To wrap and turn": r"lift the loop off the next peg, lay the yarn round that peg, put the loop back (above|below) "
    r"it, and work back the other way\.",
}
# What each must say where a place or a way stands: knitting goes over yarn above the loop, purling draws it from below.
AS_IT_IS = {
    "To wrap a peg": (),
    "To weave": ("outside", "inside"),
    "To knit a peg (u-wrap)": ("above", "the loop over it"),
    "To knit a peg (e-wrap)": ("above", "the loop over it"),
    "To purl a peg": ("below", "down", "up"),
    "To wrap and turn": ("above",),  # the wrap lies below its loop, so that both are lifted over together
}
USED = {
    "To weave": r"\bwoven:", "To wrap a peg": r"\b[Ww]rap (?!peg \d+ and turn)pegs? ", "To purl a peg": r"\bpurl \d",
    "To wrap and turn": r"and turn",
}  # fmt: skip


def taught(sentences: list[str], steps: list[str], stitch: str) -> None:
    """Every stitch that is used is taught once, as what it is, and no other. Raises Wrong."""
    by = {words.split(":")[0]: words.split(": ", 1)[1] for words in sentences}
    need(len(by) == len(sentences), f"taught twice: {sentences}")
    knit = f"To knit a peg ({stitch})"
    need(knit in by, f"{knit} is not taught")
    for name, words in by.items():
        need(name in KNOWN_STITCHES, f"nobody knows this stitch: {name}")
        said = re.fullmatch(KNOWN_STITCHES[name], words)
        need(said is not None, f"these words are not of {name[3:]}, the flat stitch perhaps: {words}")
        need(said.groups() == AS_IT_IS[name], f"{name[3:]} goes otherwise: {words}")  # type: ignore[union-attr]
    all_steps = " ".join(steps)
    used = {name for name, words in USED.items() if re.search(words, all_steps)} | {knit}
    need(used == set(by), f"used: {sorted(used)}, taught: {sorted(by)}")

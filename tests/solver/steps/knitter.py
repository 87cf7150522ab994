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


def taught(sentences: list[str], steps: list[str], stitch: str) -> None:
    """Every stitch that is used is taught, and as what it is. Raises Wrong."""
    by = {words.split(":")[0]: words for words in sentences}
    knit = by.get(f"To knit a peg ({stitch})", "")
    path = {
        "u-wrap": r"from the inside round the outside of the peg, above its loop, and back to the inside",
        "e-wrap": r"once right round the peg, above its loop",
    }[stitch]
    need(bool(re.search(path, knit)), f"these words are not of the {stitch}, the flat stitch perhaps: {knit}")
    all_steps = " ".join(steps)
    used = {"To weave": "woven:", "To purl a peg": "purl", "To wrap and turn": "and turn"}
    for name, words in used.items():
        need(words not in all_steps or name in by, f"{name} is not taught")

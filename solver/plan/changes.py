"""What to alter on a frame as it stands, in words."""

from collections import Counter
from typing import TYPE_CHECKING

from solver.model.setup import FinishedPiece
from solver.terms import count

if TYPE_CHECKING:
    from solver.plan.saved import SavedPlan


def changes_in_words(piece: FinishedPiece) -> list[str]:
    """One sentence for each change, boards first; empty where nothing is known of how the loom stands."""
    loom, stands = piece.way.loom, piece.way.loom.stands
    if stands is None:
        return []
    words = []
    for board, now, then in zip(loom.boards, piece.sides, stands.sides, strict=True):
        if now != then:
            verb = "add" if now > then else "take out"
            words.append(f"{verb} {2 * abs(now - then)} {board.name} side boards, {abs(now - then)} on each side")
    end = next((j for j, c in enumerate(piece.ends) if c), None)
    if end is not None and end != stands.end:
        words.append(f"bolt in 2 {loom.ends[end].name} end boards")
    if piece.along != stands.along:
        words.append(f"move the ends: {count(piece.along, 'peg')} along each side, not {stands.along}")
    if piece.way.spacers != stands.spacers:
        words.append(f"set {spacers(piece.way.spacers)} at every bolt, not {stands.spacers or 'none'}")
    return words


def from_before(plan: "SavedPlan", i: int) -> tuple[str, list[str]] | None:
    """The piece that was last on the loom of piece i, and what to alter from how it left the frame; None for none."""
    made = plan.option.pieces
    before = next((made[j] for j in range(i - 1, -1, -1) if made[j].loom == made[i].loom), None)
    if before is None or not made[i].side_boards:
        return None
    now, then = Counter(made[i].side_boards), Counter(before.side_boards)
    words = [
        f"{verb} {2 * many} {name} side boards, {many} on each side"
        for verb, boards in (("take out", then - now), ("add", now - then))
        for name, many in sorted(boards.items())
    ]
    if made[i].end_board and made[i].end_board != before.end_board:
        words.append(f"bolt in 2 {made[i].end_board} end boards")
    if made[i].pegs_per_side != before.pegs_per_side:
        along = count(made[i].pegs_per_side or 0, "peg")
        words.append(f"move the ends: {along} along each side, not {before.pegs_per_side}")
    if made[i].spacers != before.spacers:
        words.append(f"set {spacers(made[i].spacers)} at every bolt, not {before.spacers or 'none'}")
    return before.name, words


def spacers(count: int) -> str:
    """A count of spacers in words."""
    return "no spacers" if count == 0 else f"{count} spacer" + "s" * (count > 1)

"""What to alter on a frame as it stands, in words."""

from solver.model.setup import FinishedPiece
from solver.terms import count


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


def spacers(count: int) -> str:
    """A count of spacers in words."""
    return "no spacers" if count == 0 else f"{count} spacer" + "s" * (count > 1)

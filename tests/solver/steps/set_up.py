"""How a frame is said to be put together, as whoever bolts it would find out: pegs, boards, ends, bolts and spacers."""

from __future__ import annotations

import re

from tests.solver.steps.hands import need
from tests.solver.steps.printed import PrintedPiece


def bolted(piece: PrintedPiece) -> None:
    """Boards and ends give the pegs that are said to work, and the ends stand where the work ends. Raises Wrong."""
    told, work = piece.loom, piece.loom["In work"]
    if "Each side" not in told:
        return
    boards = [int(n) for n in re.findall(r"\((\d+) pegs?\)", told["Each side"])]
    full, ends = sum(boards), sum(int(n) for n in re.findall(r"\((\d+) pegs?\)", told.get("Each end", "")))
    past = re.search(r"the right one just past peg (\d+) of each", told["Bolt the ends"])
    flush = told["Bolt the ends"] == "flush with both ends of the sides"
    need(bool(past) != flush, f"where do the ends go? {told['Bolt the ends']}")
    along = int(past[1]) if past else full
    need(past is None or along < full, f"an end past peg {along} of {full} is flush")
    if piece.flat:
        need(piece.pegs <= along, f"{piece.pegs} pegs between ends that stand past peg {along}")
    else:
        said = re.match(
            r"(\d+) pegs? of each side(?: and (\d+) of each end)?, (\d+) in all(?:; (\d+) of each side)?", work
        )
        need(said is not None, f"which pegs work? {work}")
        side, end, total, idle = (int(n or 0) for n in said.groups())  # type: ignore[union-attr]
        need(side == along, f"{side} pegs of each side work, and the right end stands just past peg {along}")
        need(end == ends, f"{end} pegs of each end work, and the end boards have {ends}")
        need(total == 2 * (along + ends) and idle == full - along, f"{work}: {along} and {ends}, {full} on a side")
    _spaced(told["Spacers"], 2 * len(boards) + (2 if "Each end" in told else 0))


def _spaced(told: str, boards: int) -> None:
    """So many spacers at each bolt, the same bolts on every board."""
    if told == "none":
        return
    said = re.fullmatch(r"(\d+) spacers? at every bolt \((\d+) bolts?, (\d+) in all\)", told)
    need(said is not None, f"which spacers? {told}")
    each, bolts, total = (int(n) for n in said.groups())  # type: ignore[union-attr]
    need(bolts % boards == 0 and each * bolts == total, f"{told}, on {boards} boards")

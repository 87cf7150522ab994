"""What no single field of a saved plan can know: whether it holds together, in a file that a hand has changed."""

from collections.abc import Collection, Iterator
from dataclasses import fields
from typing import TYPE_CHECKING

from catalog.errors import Problem, nearest, shown
from catalog.item import kinds
from catalog.kit import STITCHES
from solver.asking.read import LONGEST_UM
from solver.asking.wish import Wish

if TYPE_CHECKING:
    from solver.plan.saved import LoomPlan, SavedPlan
    from solver.report.find import PiecePlan

ALIKE = (
    "loom",
    "spacers",
    "pegs",
    "pegs_per_side",
    "pegs_per_end",
    "rows_total",
    "rows_plain",
    "rows_band",
    "sections",
)


def slips(plan: "SavedPlan") -> Iterator[Problem]:
    """Each place where two fields of a plan contradict each other, or one names what does not exist."""
    pieces = plan.option.pieces
    yield from _of_wish(plan.wish)
    if plan.option.stitch not in STITCHES:
        yield _unknown("option.stitch", plan.option.stitch, STITCHES)
    if not pieces:
        yield Problem("option.pieces", "found none, expected at least one")
    if len(plan.ways) != len(pieces):
        yield Problem("ways", f"found {len(plan.ways)}, expected {len(pieces)}, one for each piece")
    for name in ALIKE if pieces else ():
        found, expected = getattr(plan.option, name), getattr(pieces[0], name)
        if found != expected:
            words = "expected" if isinstance(expected, list) else f"found {shown(found)}, expected {shown(expected)},"
            yield Problem(f"option.{name}", f"{words} the same as that of the first piece")
    for i, piece in enumerate(pieces, 1):
        yield from _of_piece(piece, {each.name: each for each in plan.looms}, f"option.pieces[{i}]")


def _of_wish(wish: Wish) -> Iterator[Problem]:
    if wish.stitch not in STITCHES:
        yield _unknown("wish.stitch", wish.stitch, STITCHES)
    for name in (each.name for each in fields(wish) if each.name.endswith("_um")):
        value = getattr(wish, name)
        if value is not None and abs(value) > LONGEST_UM:
            yield Problem(f"wish.{name}", f"found {value}, expected at most {LONGEST_UM}")
    if any(end is not None and not 0 <= end <= LONGEST_UM for end in wish.band or ()):
        yield Problem("wish.band", f"found {wish.band}, expected depths from 0 to {LONGEST_UM}")
    for name in ("yarn_price", "risk_weight"):
        value = getattr(wish, name)
        if value is not None and not (0 <= value <= 100 and value.denominator <= 10_000):
            yield Problem(f"wish.{name}", f"found {value}, expected a number from 0 to 100 with at most four decimals")
    if wish.sure_ppm is not None and not 0 < wish.sure_ppm < 1_000_000:
        yield Problem("wish.sure_ppm", f"found {wish.sure_ppm}, expected 1 to 999999")
    for name in ("pegs", "spacers", "strands"):
        value = getattr(wish.pins, name)
        if value is not None and not 0 <= value <= 400:
            yield Problem(f"wish.pins.{name}", f"found {value}, expected 0 to 400")


def _of_piece(piece: "PiecePlan", looms: "dict[str, LoomPlan]", at: str) -> Iterator[Problem]:
    if piece.pegs < 1:
        yield Problem(f"{at}.pegs", f"found {piece.pegs}, expected at least 1")
    loom = looms.get(piece.loom)
    if loom is None:
        yield _unknown(f"{at}.loom", piece.loom, looms)
    else:
        yield from _of_frame(piece, loom, at)
    for j, section in enumerate(piece.sections, 1):
        here = f"{at}.sections[{j}]"
        if section.kind not in kinds():
            yield Problem(
                f"{here}.kind",
                f"found kind {shown(section.kind)}, which does not exist",
                nearest(section.kind, kinds()),
            )
        elif section.rows and kinds()[section.kind].role != "rows" and not kinds()[section.kind].short:
            yield Problem(f"{here}.rows", f"found {section.rows}, expected 0 for {section.kind}")
        if not 1 <= section.pegs <= piece.pegs:
            yield Problem(f"{here}.pegs", f"found {section.pegs}, expected 1 to {piece.pegs}, the pegs of the piece")
    if not any(s.kind in kinds() and kinds()[s.kind].role == "rows" for s in piece.sections):
        yield Problem(f"{at}.sections", "found none with rows, expected at least one")
    rows = sum(s.rows for s in piece.sections if s.kind not in kinds() or not kinds()[s.kind].short)
    if rows != piece.rows_total:
        yield Problem(f"{at}.rows_total", f"found {piece.rows_total}, expected {rows}, the rows of all pegs")


def _of_frame(piece: "PiecePlan", loom: "LoomPlan", at: str) -> Iterator[Problem]:
    for board in piece.side_boards:
        if board not in loom.side_boards:
            yield _unknown(f"{at}.side_boards", board, loom.side_boards)
    if piece.end_board is not None and piece.end_board not in loom.end_boards:
        yield _unknown(f"{at}.end_board", piece.end_board, loom.end_boards)
    if bool(piece.side_boards) != (loom.build == "boards"):
        words = "boards" if loom.build == "boards" else "no boards"
        yield Problem(f"{at}.side_boards", f"expected {words}, where the loom is built of {shown(loom.build)}")
    side = sum(loom.side_boards.get(board, 0) for board in piece.side_boards)
    for name, most in (("pegs_per_side", side), ("pegs_per_end", loom.end_boards.get(piece.end_board or "", 0))):
        value = getattr(piece, name)
        if value is not None and value > most:
            yield Problem(f"{at}.{name}", f"found {value}, expected at most {most}, the pegs of its boards")


def _unknown(key: str, found: str, names: Collection[str]) -> Problem:
    return Problem(key, f"found {shown(found)}, which does not exist", nearest(found, names))

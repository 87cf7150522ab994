"""The one sentence of a clash: the wish, the law that stops most ways to have it, and what comes nearest."""

from collections.abc import Sequence
from dataclasses import dataclass

from solver.asking.wish import Wish
from solver.model.ask import FAR_PEGS, Ask, LoomAsk
from solver.plan.in_plain import lengths_asked
from solver.terms import count
from solver.why.limits import CellLimits, PieceLimits
from solver.why.relaxing import fitting
from solver.why.stops import BUILT, PEG_LAWS, ROUND
from solver.why.violations import EVERY, bits
from solver.why.words.phrases import called, length, lies, piece_name, plain, tell_apart, worked

FABRIC = bits("whole-repeats", "even-pegs", "opening-pairs")


@dataclass(frozen=True, slots=True)
class Point:
    """What a sentence points at: a piece that the law stops, where it would be worked; how many frames she has."""

    wish: Wish
    limits: PieceLimits
    place: int
    frames: int

    @property
    def width(self) -> int:
        return self.limits.way.width_um

    @property
    def round(self) -> str:
        return lies(self.limits.piece)

    @property
    def subject(self) -> str:
        """The girth that is wanted: "34 in round", and whose it is where it is a lesser piece's."""
        piece = self.limits.piece
        girth = f"{plain(piece.girth_um, self.wish.unit)} {self.round}{' worked flat' * bool(piece.seam)}"
        return girth if self.place == 0 else f"the {piece_name(self.wish, self.place, piece)}, {girth},"

    def counts(self, *kept: str) -> list[int]:
        """The peg counts that the fabric allows and that break none of the rules named."""
        return [*self.limits.counts(EVERY & ~(FABRIC | bits(*kept)))]

    @property
    def needed(self) -> int | None:
        """The count that comes nearest to the girth wanted, wherever it could be worked; None where none is near.

        Such as the fabric asks for, in whole repeats and pairs; any other only where none of these is near enough.
        """
        piece, w = self.limits.piece, self.width
        if piece.girth_um > FAR_PEGS * w:
            step = piece.repeat * (2 if piece.even and piece.repeat % 2 else 1)
            return round(piece.girth_um / (w * step)) * step + piece.seam
        near = self.counts("girth-within") or [*self.limits.counts(EVERY & ~bits("girth-within"))]
        return min(near, key=lambda n: (abs(piece.round_um(n, w) - piece.girth_um), n), default=None)

    def makes(self, *counts: int) -> str:
        """What some peg counts make, told apart from the girth wanted."""
        piece = self.limits.piece
        made = [piece.round_um(n, self.width) for n in counts]
        *each, _ = tell_apart([*made, piece.girth_um], self.wish.unit)
        unit = f" {self.wish.unit}"
        return " or ".join([*(one.removesuffix(unit) for one in each[:-1]), each[-1]])


def point_at(wish: Wish, cell: CellLimits, law: str, frames: int) -> Point | None:
    """The first piece of a cell that the law stops; None where no piece by itself is."""
    kept = bits(*ROUND, *(PEG_LAWS if law in PEG_LAWS else (*BUILT, law)))
    for i, limits in enumerate(cell.pieces):
        if not fitting(cell, i, EVERY & ~kept):
            return Point(wish, limits, i, frames)
    return None


def pegs_told(point: Point) -> str | None:
    """ "34 in round takes 136 pegs; your boards give 108, which makes 27.0 in" """
    need = point.needed
    if need is None:
        return None
    given = offers(point, need)
    if given is None:
        return _lacking(point, need)
    words, counts = given
    return f"{point.subject} takes {count(need, 'peg')}; {words}, which makes {point.makes(*counts)}{_no_fabric(point)}"


def _no_fabric(point: Point) -> str:
    """That no pegs of a loom suit the fabric, where it is so: ", and no whole repeats of a rib over 4 pegs"."""
    if point.counts(*PEG_LAWS):
        return ""
    repeats = not point.limits.counts(EVERY & ~bits("whole-repeats", *PEG_LAWS))
    return f", and no whole repeats of a rib over {point.limits.piece.repeat} pegs" if repeats else ", and no pairs"


def _lacking(point: Point, need: int) -> str | None:
    """ "21 in round takes 102 pegs; the attic frame lacks 1 board for that", where it works none without it."""
    loom, bought = point.limits.way.loom, point.limits.assemblies.at(need, bits("boards-on-hand"))
    boards = min((s.missing for s in bought), default=0)
    if not boards or point.counts(*PEG_LAWS):
        return None
    return f"{point.subject} takes {count(need, 'peg')}; the {loom.name} lacks {count(boards, 'board')} for that"


def named_told(point: Point) -> str | None:
    """ "you name 81 pegs; the attic frame works 80 or 82 and none between" """
    pin = point.wish.pins.pegs
    given = None if pin is None else offers(point, pin)
    return None if pin is None or given is None else f"you name {count(pin, 'peg')}; {given[0]}"


def offers(point: Point, need: int) -> tuple[str, list[int]] | None:
    """What a loom gives instead of so many pegs, in words and as counts; None where it gives just these, or nothing."""
    loom = point.limits.way.loom
    offered = point.counts(*PEG_LAWS) or [*point.limits.counts(EVERY & ~bits(*PEG_LAWS))]
    if not offered or need in offered:
        return None
    if loom.build == "ring" and len(offered) == 1:
        return f"the {loom.name} has {offered[0]}", offered
    if need > offered[-1]:
        most = f"{_boards(point)} give" if loom.build == "boards" else f"the {loom.name} gives"
        side = " along a side" if point.limits.piece.flat and loom.build != "ring" else ""
        return f"{most} {offered[-1]}{side}", [offered[-1]]
    if need < offered[0]:
        return f"the {loom.name} works no fewer than {offered[0]}", [offered[0]]
    below, above = max(n for n in offered if n < need), min(n for n in offered if n > need)
    return f"the {loom.name} works {below} or {above} and none between", [below, above]


def _boards(point: Point) -> str:
    return "your boards" if point.frames == 1 else f"the boards of the {point.limits.way.loom.name}"


def bulk_told(point: Point) -> str | None:
    """ "46 in round takes 180 loops of moss wool, 18.0 in side by side; a drawn end closes on 12.6 in at most, …" """
    limit, lofty, need = point.limits.piece.bulk_limit_um, point.limits.way.lofty_um, point.needed
    fits = point.counts("gather-bulk", *BUILT)
    if limit is None or lofty is None or need is None or not fits:
        return None
    thick, most = (length(um, point.wish.unit, other) for um, other in ((need * lofty, limit), (limit, need * lofty)))
    takes = f"{point.subject} takes {count(need, 'loop')} of {worked(point.limits.way, on=False)}, {thick} side by side"
    closes = f"a drawn end closes on {most} at most, {count(fits[-1], 'loop')}"
    return f"{takes}; {closes}, which makes {point.makes(fits[-1])}"


def spacers_told(wish: Wish, looms: Sequence[LoomAsk]) -> str | None:
    """ "you name 6 spacers at every bolt; the attic frame takes 4 at most"; of several, the loom that takes most."""
    pin, named = wish.pins.spacers, [loom for loom in looms if wish.pins.loom in (None, loom.name)]
    if pin is None or not named or pin <= max(loom.spacers_most for loom in named):
        return None
    loom = min(named, key=lambda each: (-each.spacers_most, each.name))
    takes = f"takes {loom.spacers_most} at most" if loom.spacers_most else "takes none"
    return f"you name {count(pin, 'spacer')} at every bolt; the {loom.name} {takes}"


def wanted(ask: Ask, wish: Wish, long: bool) -> str:
    """The wish before what stands against it: "No setup makes the hat 21 in round and 8 in long: "."""
    main = ask.pieces[0]
    asked_um = wish.long_um or round(1000 * lengths_asked(main)[0].mm)
    length = f" and {plain(asked_um, wish.unit)} long" if long else ""
    return f"No setup makes the {called(wish)} {plain(main.girth_um, wish.unit)} {lies(main)}{length}: "


def as_one(clauses: Sequence[str], before: str = "") -> str:
    """Clauses as one sentence, with what stands before them."""
    says = f"{before}{', and '.join(clauses)}."
    return f"{says[0].upper()}{says[1:]}"

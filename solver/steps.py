"""A plan as neutral steps: what is done to the loops on the loom, in order; the words stand in solver/wording.py.

Pegs count from 1 in the direction of work. Lengths are whole µm. A step holds only what a hand needs to do it, so that
a sheet can word it and a simulator can follow it loop by loop.
"""

from dataclasses import dataclass
from typing import TypeAlias

from catalog.figure import mm_um
from catalog.item import Kind, kinds
from catalog.units import half_up
from solver.plan import OptionPlan, PiecePlan, SectionPlan

FIRST_CHECK = 10  # rows before the gauge is measured: enough to show, few enough to undo (own)


@dataclass(frozen=True, slots=True)
class Tail:
    """Leave so much yarn hanging before the first loop."""

    tail_um: int


@dataclass(frozen=True, slots=True)
class Wrap:
    """Lay one loop on each of these pegs, above what they hold."""

    pegs: range


@dataclass(frozen=True, slots=True)
class KnitOver:
    """On each of `pegs`, where two loops lie, lift the lower over the upper; `resting` hold one loop and are left."""

    pegs: range
    resting: range


@dataclass(frozen=True, slots=True)
class Check:
    """After `row` rows of the piece, `rows` of them measure `length_um`."""

    row: int
    rows: int
    length_um: int


@dataclass(frozen=True, slots=True)
class Rows:
    """Work `count` rows over `pegs`, the piece's rows from `first` on; `pattern` of K and P is repeated along them."""

    kind: str
    title: str
    pattern: str
    stitch: str
    pegs: range
    first: int
    count: int
    checks: tuple[Check, ...]

    @property
    def last(self) -> int:
        """The number of the last of these rows in the piece."""
        return self.first + self.count - 1


@dataclass(frozen=True, slots=True)
class BindOff:
    """Work each peg once more and pass its loop over to the next, until one loop is left on the last peg."""

    pegs: range
    yarn_um: int


@dataclass(frozen=True, slots=True)
class Cut:
    """Cut the yarn and leave so much of it."""

    tail_um: int


@dataclass(frozen=True, slots=True)
class Through:
    """Pass the cut yarn through the loop on each of `pegs`, in order."""

    pegs: range


@dataclass(frozen=True, slots=True)
class LiftOff:
    """Lift the loops off these pegs; the cut yarn holds them."""

    pegs: range


@dataclass(frozen=True, slots=True)
class PullShut:
    """Pull an end shut on the yarn that runs through the loops of `pegs`: the tail of the start, or the cut end."""

    end: str
    pegs: range


@dataclass(frozen=True, slots=True)
class Secure:
    """Make an end's yarn fast: across the hole, knotted and buried where it was drawn `shut`, else woven in."""

    end: str
    shut: bool


Step: TypeAlias = Tail | Wrap | KnitOver | Rows | BindOff | Cut | Through | LiftOff | PullShut | Secure


@dataclass(frozen=True, slots=True)
class PieceSteps:
    """One piece: how often it is made, on which loom and pegs, and its steps in order."""

    name: str
    copies: int
    loom: str
    pegs: int
    steps: tuple[Step, ...]

    @property
    def rows(self) -> tuple[Rows, ...]:
        """Its rows, section by section."""
        return tuple(s for s in self.steps if isinstance(s, Rows))

    @property
    def drawn_start(self) -> range | None:
        """The pegs that the first yarn draws together; None for a start that stays open."""
        return next((s.pegs for s in self.steps if isinstance(s, PullShut) and s.end == "start"), None)

    @property
    def drawn_end(self) -> bool:
        """Whether the last row is drawn shut too."""
        return any(isinstance(s, PullShut) and s.end == "end" for s in self.steps)


def plan_steps(option: OptionPlan) -> tuple[PieceSteps, ...]:
    """The steps of every piece of an option, in the order in which they are made."""
    return tuple(piece_steps(option, piece) for piece in option.pieces)


def piece_steps(option: OptionPlan, piece: PiecePlan) -> PieceSteps:
    """The steps of one piece: its sections as planned, then its ends made fast."""
    work: list[Step] = []
    close: list[Step] = []
    row = 1
    for section in piece.sections:
        kind, pegs = kinds()[section.kind], range(1, section.pegs + 1)
        if kind.role == "start":
            work += _start(kind, pegs)
            close += _fast("start", range(1, section.pegs + 1, 2) if kind.gathers else None)
        elif kind.role == "rows":
            work.append(_rows(option, kind, section, row))
            row += section.rows
        else:
            work += _end(option, kind, pegs)
            close += _fast("end", pegs if kind.gathers else None)
    return PieceSteps(piece.name, piece.copies, piece.loom, piece.pegs, (*work, *close))


def _start(kind: Kind, pegs: range) -> list[Step]:
    """A drawn start lies on every other peg first, and only there are two loops to knit over."""
    tail, every = Tail(mm_um("tail_mm")), Wrap(pegs)
    if not kind.gathers:
        return [tail, every]
    other, between = pegs[::2], pegs[1::2]
    return [tail, Wrap(other), every, KnitOver(other, between)]


def _rows(option: OptionPlan, kind: Kind, section: SectionPlan, first: int) -> Rows:
    pegs, last = range(1, section.pegs + 1), first + section.rows - 1
    marks = {FIRST_CHECK} if first <= FIRST_CHECK < last else set()
    checks = tuple(Check(n, n, n * option.row_height_um) for n in sorted(marks | ({last} if section.rows else set())))
    return Rows(kind.name, kind.title, kind.pattern, option.stitch, pegs, first, section.rows, checks)


def _end(option: OptionPlan, kind: Kind, pegs: range) -> list[Step]:
    girth, tail = len(pegs) * option.stitch_width_um, mm_um("tail_mm")
    girths, extra = (kind.girths.value if kind.girths else 0), (kind.extra.value if kind.extra else 0)
    if kind.gathers:
        return [Cut(girths * girth + extra + tail), Through(pegs), LiftOff(pegs)]
    return [BindOff(pegs, half_up(girths * girth)), Cut(tail), Through(pegs[-1:]), LiftOff(pegs[-1:])]


def _fast(end: str, drawn: range | None) -> list[Step]:
    return [Secure(end, False)] if drawn is None else [PullShut(end, drawn), Secure(end, True)]

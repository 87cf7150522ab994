"""Neutral steps: what is done to the loops on the loom; solver/stepping.py makes them, solver/page words them.

Pegs count from 1 in the direction of work. Lengths are whole µm. A step holds only what a hand needs to do it, so that
a sheet can word it and a simulator can follow it loop by loop.
"""

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Tail:
    """Leave so much yarn hanging before the first loop."""

    tail_um: int


@dataclass(frozen=True, slots=True)
class Wrap:
    """Lay one loop on each of these pegs, above what they hold; `woven`: a strand across the outside, free to slide."""

    pegs: range
    woven: bool = False


@dataclass(frozen=True, slots=True)
class PickUp:
    """Draw out the scrap yarn of `opening`; its lower loops onto the first half of `pegs`, its upper onto the other."""

    opening: str
    pegs: range


@dataclass(frozen=True, slots=True)
class LiftEdge:
    """Lift the loops of the cast-on edge of pegs `edge` onto `pegs`, the nearest onto the nearest."""

    edge: range
    pegs: range


@dataclass(frozen=True, slots=True)
class KnitOver:
    """On each of `pegs`, where two loops lie, lift the lower over the upper; `resting` hold one loop and are left."""

    pegs: range
    resting: range


@dataclass(frozen=True, slots=True)
class Check:
    """After `row` rows of the piece, the last `rows` of them measure `length_um`; `ribbed` stitches draw in."""

    row: int
    rows: int
    length_um: int
    ribbed: bool = False


@dataclass(frozen=True, slots=True)
class Rows:
    """Work `count` rows over `pegs`, the piece's rows from `first` on; `pattern` of K and P is repeated along them.

    In the round, or `flat`: to and fro, the first row back from the last peg, with `edge` knit pegs at either side.
    `early` is measured on the way, `done` after the last row.
    """

    kind: str
    title: str
    pattern: str
    stitch: str
    pegs: range
    first: int
    count: int
    done: Check
    early: Check | None = None
    flat: bool = False
    edge: int = 0

    @property
    def last(self) -> int:
        """The number of the last of these rows in the piece."""
        return self.first + self.count - 1

    def side(self, peg: int) -> str:
        """K or P: how a peg is worked, in every row."""
        i = self.pegs.index(peg)
        if min(i, len(self.pegs) - 1 - i) < self.edge:
            return "K"
        return self.pattern[(i - self.edge) % len(self.pattern)]


@dataclass(frozen=True, slots=True)
class ShortRows:
    """Knit to and fro over `pegs`, one peg fewer each row down to `least`, then one more each row until all."""

    title: str
    stitch: str
    pegs: range
    least: int

    @property
    def narrowing(self) -> int:
        """How many rows grow shorter; as many grow longer again."""
        return len(self.pegs) - self.least


@dataclass(frozen=True, slots=True)
class Opening:
    """Knit these pegs once with scrap yarn, before the next row: they open later, and no row is added."""

    pegs: range


@dataclass(frozen=True, slots=True)
class BindOff:
    """Work each peg once more and pass its loop over to the next, until one loop is left on the last peg."""

    pegs: range
    yarn_um: int


@dataclass(frozen=True, slots=True)
class Sew:
    """Sew the loops of these pegs off with the cut yarn: forward through two, back through the first, and lift it off.

    In the round the last of them is sewn to the first, which is off its peg by then; something flat ends at its last.
    """

    pegs: range
    round: bool


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
class Fill:
    """Fill the piece, whose other end is shut already, before this last one closes."""


@dataclass(frozen=True, slots=True)
class PullShut:
    """Pull an end shut on the yarn that runs through the loops of `pegs`: the tail of the start, or the cut end."""

    end: str
    pegs: range


@dataclass(frozen=True, slots=True)
class SewUp:
    """Sew the two side edges of so many rows together with the cut end, a stitch in all lost in the seam."""

    rows: int


@dataclass(frozen=True, slots=True)
class Secure:
    """Make an end's yarn fast: across the hole, knotted and buried where it was drawn `shut`, else woven in.

    `kept`: what hangs there is not sunk yet, but sews the piece to another.
    """

    end: str
    shut: bool
    kept: bool = False


@dataclass(frozen=True, slots=True)
class Join:
    """Sew a piece that is closed all round to a piece made before, with `yarn_um` of the tail that drew it shut."""

    to: str
    where: str
    yarn_um: int


Step: TypeAlias = (
    Tail
    | Wrap
    | PickUp
    | LiftEdge
    | KnitOver
    | Rows
    | ShortRows
    | Opening
    | BindOff
    | Sew
    | Cut
    | Through
    | LiftOff
    | Fill
    | PullShut
    | Secure
    | SewUp
    | Join
)


@dataclass(frozen=True, slots=True)
class PieceSteps:
    """One piece: how often it is made, on which loom and pegs, and its steps in order.

    A `ring` has neither sides nor `corners`.
    """

    name: str
    copies: int
    loom: str
    pegs: int
    flat: bool
    corners: bool
    steps: tuple[Step, ...]
    ring: bool = False

    @property
    def rows(self) -> tuple[Rows, ...]:
        """Its rows, section by section."""
        return tuple(s for s in self.steps if isinstance(s, Rows))

    @property
    def sewn_up(self) -> bool:
        """Whether it is worked flat and made a tube by a seam."""
        return any(isinstance(s, SewUp) for s in self.steps)

    @property
    def sewn(self) -> bool:
        """Whether its last row is sewn off."""
        return any(isinstance(s, Sew) for s in self.steps)

    @property
    def drawn_start(self) -> range | None:
        """The pegs that the first yarn draws together; None for a start that stays open."""
        return next((s.pegs for s in self.steps if isinstance(s, PullShut) and s.end == "start"), None)

    @property
    def cup_start(self) -> ShortRows | None:
        """The short rows that it begins with, if it does."""
        first = next((s for s in self.steps if isinstance(s, Rows | ShortRows)), None)
        return first if isinstance(first, ShortRows) else None

    @property
    def picked_up(self) -> bool:
        """Whether it begins on the loops of an opening."""
        return any(isinstance(s, PickUp) for s in self.steps)

    @property
    def drawn_end(self) -> bool:
        """Whether the last row is drawn shut too."""
        return any(isinstance(s, PullShut) and s.end == "end" for s in self.steps)

"""The Ask: what is wanted and what is on hand, as whole numbers only. Past this file nothing is left to look up."""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from math import ceil, lcm
from typing import Any

from catalog.figure import figure
from catalog.item import EdgeYarn
from catalog.units import half_up

FAR_PEGS, FAR_BOARDS, FAR_SPACERS, FAR_LENGTHS = (
    400,
    6,
    8,
    3,
)  # how far a dropped law may reach; lengths: × wanted (own)


FLAT_PEGS = 2  # the fewest that anything is worked to and fro on: over one peg there is no next stitch


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardAsk:
    """A board of a frame: its name, its pegs, how many are on hand."""

    name: str
    pegs: int
    on_hand: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AsItStands:
    """How a frame stands now: boards of one side by type (in the loom's order), end type, pegs along, spacers."""

    sides: tuple[int, ...]
    end: int | None
    along: int
    spacers: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomAsk:
    """A loom as the rules read it. `boards` and `ends` are sorted by name; a ring has pegs_least == pegs_most.

    along_apart: pegs of a side that keep two ends with pegs far enough apart for a hook.
    """

    name: str
    build: str
    pitch_um: int
    pegs_least: int = 0
    pegs_most: int = 0
    boards: tuple[BoardAsk, ...] = ()
    ends: tuple[BoardAsk, ...] = ()
    bolts_per_board: int = 0
    joining: bool = False
    ends_anywhere: bool = False
    spacers_most: int = 0
    spacers_on_hand: int = 0
    stands: AsItStands | None = None
    along_apart: int = 1

    def along_least(self, end: BoardAsk | None) -> int:
        """The fewest pegs of a side in work between two such ends: `along_apart` where these have pegs to be hooked."""
        return self.along_apart if end and end.pegs and self.ends_anywhere else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to work: a loom at a spacer setting with a yarn in so many strands, and its gauge there.

    Lengths in µm; spreads in ppm of the mean; `lofty_um` and `pressed_um` are diameters of all strands together, None
    where the catalogue has no value; `tightness` is 1000·√tex of all strands; on_hand_um None = any amount.
    """

    loom: LoomAsk
    spacers: int
    yarn: str
    strands: int
    width_um: int
    height_um: int
    loop_um: int
    width_ppm: int
    height_ppm: int
    basis: str
    swatched: bool
    lofty_um: int | None
    pressed_um: int | None
    tightness: int | None
    mtex: int | None
    ball_um: int | None
    on_hand_um: int | None

    @property
    def key(self) -> tuple[str, int, str, int]:
        """Loom, spacers, yarn, strands: what tells one way from another."""
        return (self.loom.name, self.spacers, self.yarn, self.strands)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Least, preferred and most depth of the band, µm."""

    least_um: int
    prefer_um: int
    most_um: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionAsk:
    """A section: its kind, its role (start, rows, opening, end), where its rows come from, its own yarn.

    rows: "rest" (what is left), "band", "reach" (what reaches `reach_um`), or None (no rows of all pegs). edge_yarn:
    what an end takes. short: short rows over half the pegs; half_set_up: loops on half the pegs before them. opens: the
    place in the ask of the piece that is picked up from this opening. bind_off: how an end is bound off, if it is.
    """

    kind: str
    role: str
    rows: str | None
    repeat: int
    set_up_rows: int
    edge_yarn: EdgeYarn
    reach_um: int | None = None
    short: bool = False
    half_set_up: bool = False
    opens: int | None = None
    bind_off: str | None = None


@dataclass(frozen=True, slots=True)
class NamedLength:
    """A length by its name: the share of each of worked, reach, band, around and diameter."""

    name: str
    shares: tuple[tuple[str, Fraction], ...]

    def um(self, **of: int) -> int:
        """The length in µm, halves up, of such measures in µm; `diameter` follows from `around`.

        Where the foot takes it all, nothing stands beyond it: never less than 0.
        """
        of |= {"diameter": half_up(of["around"] / figure("pi"))}
        return max(half_up(sum((share * of[name] for name, share in self.shares), Fraction(0))), 0)


WHOLE = (NamedLength("long", (("worked", Fraction(1)),)),)


@dataclass(frozen=True, kw_only=True)
class PieceAsk:
    """One piece: its wanted girth and length, how far either may miss, and what its sections demand of the pegs.

    girth_least_um: what the girth may not be under, whatever its tolerance. picked_up: begins on the two edges of an
    opening, so its pegs pair. stretch: to how many times the relaxed girth fabric and edges do.
    passes_anyway: what must pass is the very body that it is made for, and every girth near enough goes over it, so
    that too small a girth is the one thing to say of a hat that is too small. lengths: what is said of how long it is.
    seam: pegs whose stitch goes into a seam. on_main: worked where the main piece is, and nowhere else.
    """

    name: str
    copies: int
    sections: tuple[SectionAsk, ...]
    girth_um: int
    length_um: int
    girth_tol_um: int
    length_tol_um: int
    band: Band | None
    repeat: int
    edge: int
    even: bool
    flat: bool
    bulk_limit_um: int | None
    must_pass_um: int | None
    girth_least_um: int = 0
    picked_up: bool = False
    stretch: Fraction = Fraction(8, 5)
    passes_anyway: bool = False
    lengths: tuple[NamedLength, ...] = WHOLE
    seam: int = 0
    on_main: bool = False

    def round_um(self, pegs: int, width_um: int) -> int:
        """The girth of so many pegs of stitches so wide; of those that go into a seam nothing is left of it."""
        return (pegs - self.seam) * width_um

    @property
    def bind_off(self) -> str | None:
        """How it is bound off: "sewn" or "passed-over"; None for one that is drawn shut."""
        return next((s.bind_off for s in self.sections if s.bind_off), None)

    @property
    def stretch_girth_um(self) -> int:
        """The least relaxed girth over which what must pass goes through; 0 where nothing must."""
        return ceil((self.must_pass_um or 0) / self.stretch)

    @cached_property
    def girth_low_um(self) -> int:
        """The least girth that is near enough."""
        return max(self.girth_um - self.girth_tol_um, self.girth_least_um)

    @cached_property
    def bands(self) -> int:
        """How many sections are bands of equal depth."""
        return sum(s.rows == "band" for s in self.sections)

    @cached_property
    def has_plain(self) -> bool:
        """Whether some section is worked plain."""
        return any(s.kind == "plain" for s in self.sections)

    @cached_property
    def reaches(self) -> bool:
        """Whether the rows of some section are given by a length."""
        return any(s.rows == "reach" for s in self.sections)

    @cached_property
    def cast_ons(self) -> int:
        """Rows of loops laid before the first row, over all sections."""
        return sum(s.set_up_rows for s in self.sections)

    @cached_property
    def shorts(self) -> int:
        """How many sections are short rows over half the pegs."""
        return sum(s.short for s in self.sections)

    @cached_property
    def half_set_ups(self) -> int:
        """How often loops are laid on half the pegs only."""
        return sum(s.half_set_up for s in self.sections)


@dataclass(frozen=True, slots=True)
class Pins:
    """Choices that the ask makes itself; None leaves them open."""

    loom: str | None = None
    yarn: str | None = None
    pegs: int | None = None
    spacers: int | None = None
    strands: int | None = None


@dataclass(frozen=True, slots=True)
class Costs:
    """What a µm costs, in whole units of 1 / (10 000 · scale) µm of miss."""

    girth: int
    length: int
    band: int
    yarn: int
    risk: Fraction
    scale: int

    @staticmethod
    def of(girth: Fraction, length: Fraction, band: Fraction, yarn_mm_per_m: Fraction, risk: Fraction) -> "Costs":
        """Costs from the weights of the three misses, the price of yarn in mm per m and the risk weight."""
        each = [girth * 10_000, length * 10_000, band * 10_000, yarn_mm_per_m * 10]
        scale = lcm(*(one.denominator for one in each))
        g, n, b, y = (int(one * scale) for one in each)
        return Costs(g, n, b, y, risk, scale)


@dataclass(frozen=True, slots=True)
class Ask:
    """Everything the solver knows: pieces, ways to work, pins, costs; `dropped` names rules that need not hold."""

    item: str
    pieces: tuple[PieceAsk, ...]
    ways: tuple[Way, ...]
    pins: Pins
    costs: Costs
    measured_only: bool
    rib: str | None
    stitch: str
    bind_off: str | None
    ease_um: int | None
    body_um: int | None
    yarn_price: Fraction
    dropped: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()
    sure_ppm: int | None = None  # how likely, at least, the main piece's girth must be within its limit
    body_sd_um: int | None = None  # how such bodies differ, where the body came from a table
    otherwise: tuple[PieceAsk, ...] = ()  # the pieces where a lesser one is worked flat instead, for lack of a loom
    read: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)  # see rules/reading.py

    def without(self, *rules: str) -> "Ask":
        """This ask with more rules dropped; the ways stay as they are."""
        return replace(self, dropped=self.dropped | frozenset(rules))

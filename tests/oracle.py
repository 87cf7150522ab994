"""The oracle: brute force over every setup of a kit, from the physical definitions, with the standard library alone.

It shares nothing with the program that it judges, neither code nor data. Lengths are whole micrometres (`_um`), masses
whole milligrams, linear density whole millitex, spreads parts per million of the mean. A kit is the plain dict that
`tomllib` reads from a kit file. Nested loops walk looms, spacers, yarns, strands, boards, ends, pegs and rows; the
ranges of the loops are cut only where the cut is plain to see, with the reason beside it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import product
from statistics import NormalDist
from typing import Any, NamedTuple

# Laws of the loom first, wishes last.
RULES = (
    *("boards-on-hand", "pegs-on-loom", "spacers-on-hand", "yarn-suits-pitch", "not-jammed", "not-flimsy"),
    *("whole-repeats", "even-pegs", "room-for-plain", "gather-bulk", "stretches-over", "gauge-measured"),
    *("yarn-on-hand", "band-depth", "girth-within", "length-within", "sure-enough"),
    *("pin-loom", "pin-yarn", "pin-pegs", "pin-spacers", "pin-strands"),
)

# Bounds of the search once a law is dropped (own).
MOST_PEGS, MOST_BOARDS_A_SIDE, MOST_SPACERS, MOST_LENGTHS = 400, 6, 8, 3

KW, KC = 3.8, 5.0  # dry-relaxed wool: Munden, J. Text. Inst. 50 (1959) T448, from memory
KS = 19  # KW · KC, so that a guess gives its own loop length back
WRAP = {"u-wrap": 0.5, "e-wrap": 1.0}  # share of the peg's circumference that the stitch goes round (own)
LIES = {"u-wrap": Decimal(1), "e-wrap": Decimal("0.85")}  # the rest crosses, adding neither width nor height (own)
WRAPS_PER_INCH = {1: 19.0, 2: 15.0, 3: 12.0, 4: 10.0, 5: 7.0, 6: 5.5}  # from memory
TYPICAL_TEX = {1: 250, 2: 330, 3: 425, 4: 500, 5: 900, 6: 1600}  # from memory
DENSITY = {"wool": 1.31, "acrylic": 1.19, "cotton": 1.52, "nylon": 1.14}  # g/cm³: Morton & Hearle
RIBS = {"1x1": 2, "2x1": 3, "2x2": 4, "3x1": 4}  # pegs in one repeat

_UM = {"mm": 1000, "cm": 10_000, "m": 1_000_000, "in": 25_400, '"': 25_400, "ft": 304_800, "yd": 914_400}
_MG = {"mg": Fraction(1), "g": Fraction(1000), "kg": Fraction(10**6), "oz": Fraction(28_349_523_125, 10**6)}
_QUANTITY = re.compile(r'\s*(?:(?:(\d+)\s+)?(\d+)/(\d+)|(\d+(?:\.\d+)?))\s*([a-z]+|")\s*')


def half_up(x: Fraction | float) -> int:
    """Round to the nearest whole number, halves upward."""
    return math.floor(x + Fraction(1, 2)) if isinstance(x, Fraction) else math.floor(x + 0.5)


def _amount(text: str) -> tuple[Fraction, str]:
    found = _QUANTITY.fullmatch(text)
    if not found:
        raise ValueError(f"expected a number with its unit, such as '9.5 mm', found {text!r}")
    whole, top, under, decimal, unit = found.groups()
    return (Fraction(decimal) if decimal else int(whole or 0) + Fraction(int(top), int(under))), unit


def length_um(text: str) -> int:
    """Read "9.5 mm", "8 1/2 in" or '21"' as whole micrometres."""
    number, unit = _amount(text)
    return half_up(number * _UM[unit])


def mass_mg(text: str) -> int:
    """Read "100 g" as whole milligrams."""
    number, unit = _amount(text)
    return half_up(number * _MG[unit])


# ---------------------------------------------------------------- the kit


class Board(NamedTuple):
    """A row of pegs that can be bolted in; `on_hand` counts all of that length, for both sides together."""

    name: str
    pegs: int
    on_hand: int


class Stand(NamedTuple):
    """How a frame stands now: the boards of one side, the end board ("" for plain ends), pegs a side, spacers."""

    sides: tuple[str, ...]
    end: str
    per_side: int
    spacers: int


@dataclass(frozen=True)
class Loom:
    """One loom of the kit; a ring is a slider that cannot move."""

    name: str
    build: str
    pitch_um: int
    peg_um: int
    gap_um: int | None
    thickness_um: int | None
    most: int
    stock: int
    bolts: int
    joining: bool
    anywhere: bool
    sides: tuple[Board, ...]
    ends: tuple[Board, ...]
    stands: Stand | None
    pegs_least: int
    pegs_most: int


@dataclass(frozen=True)
class Yarn:
    """One yarn of the kit; None where the kit and the tables say nothing."""

    name: str
    wraps_per_inch: float | None
    mtex: int | None
    density: float | None
    ball_um: int | None
    balls: int | None

    def lofty_um(self, strands: int) -> int | None:
        """Diameter of all strands together, unpressed."""
        if self.wraps_per_inch is None:
            return None
        return half_up(25_400 / self.wraps_per_inch * math.sqrt(strands))


def _board(raw: dict[str, Any], pitch_um: int) -> Board:
    pegs = raw["pegs"] if "pegs" in raw else length_um(raw["length"]) // pitch_um
    return Board(raw["name"], pegs, raw["on_hand"])


def _stand(raw: dict[str, Any], sides: Sequence[Board]) -> Stand:
    pegs = {board.name: board.pegs for board in sides}
    full = sum(pegs[name] for name in raw["sides"])
    return Stand(tuple(raw["sides"]), raw.get("ends", ""), raw.get("pegs_per_side", full), raw.get("spacers", 0))


def read_loom(raw: dict[str, Any]) -> Loom:
    """Read one [[loom]] table."""
    pitch = length_um(raw["pitch"])
    spacers = raw.get("spacers")
    sides = tuple(_board(one, pitch) for one in raw.get("side_boards", ()))
    return Loom(
        name=raw["name"],
        build=raw["build"],
        pitch_um=pitch,
        peg_um=length_um(raw["peg_diameter"]),
        gap_um=length_um(raw["base_gap"]) if "base_gap" in raw else (0 if raw["build"] == "boards" else None),
        thickness_um=length_um(spacers["thickness"]) if spacers else None,
        most=spacers["most"] if spacers else 0,
        stock=spacers["on_hand"] if spacers else 0,
        bolts=raw.get("bolts_per_board", 2),
        joining=raw.get("joining", False),
        anywhere=raw.get("ends_anywhere", False),
        sides=sides,
        ends=tuple(_board(one, pitch) for one in raw.get("end_boards", ())),
        stands=_stand(raw["set_up_as"], sides) if "set_up_as" in raw else None,
        pegs_least=raw.get("pegs_least", raw.get("pegs", 0)),
        pegs_most=raw.get("pegs_most", raw.get("pegs", 0)),
    )


def read_yarn(raw: dict[str, Any]) -> Yarn:
    """Read one [[yarn]] table: the ball's own label before its weight class."""
    weight = raw.get("weight", -1)
    ball = length_um(raw["length_per_ball"]) if "length_per_ball" in raw else None
    mtex: int | None = TYPICAL_TEX[weight] * 1000 if weight in TYPICAL_TEX else None
    if ball and "mass_per_ball" in raw:
        mtex = half_up(Fraction(mass_mg(raw["mass_per_ball"]) * 10**9, ball))  # mg per km is millitex
    density = raw.get("density", DENSITY.get(raw.get("fibre", "")))
    if isinstance(density, str):
        density = float(density.split()[0])
    wraps = raw.get("wraps_per_inch", WRAPS_PER_INCH.get(weight))
    return Yarn(raw["name"], wraps, mtex, density, ball, raw.get("balls"))


# ---------------------------------------------------------------- gauge


class Gauge(NamedTuple):
    """Stitch width, row height and yarn in one stitch of a setting, the spreads, and whether it was swatched."""

    width_um: int
    height_um: int
    loop_um: int
    width_ppm: int
    height_ppm: int
    swatched: bool


GaugeOf = Callable[[str, int, str, int, str], "tuple[int, int, int, int, int, bool] | None"]


def relaxed(loop_um: float, kw: float = KW, kc: float = KC) -> tuple[int, int]:
    """Stitch width and row height of relaxed plain knit with that much yarn in a stitch."""
    return half_up(loop_um / kw), half_up(loop_um / kc)


def loop_from(width_um: int, height_um: int, stitch: str = "u-wrap") -> int:
    """Yarn in one stitch, √(Ks · width · height), over 0.85 for an e-wrap; rounded half up without binary floats."""
    loop = (Decimal(KS) * width_um * height_um).sqrt() / LIES[stitch]
    return int(loop.to_integral_value(ROUND_HALF_UP))


def guess(loom: Loom, spacers: int, yarn: Yarn, strands: int, stitch: str) -> Gauge | None:
    """The starting guess before any swatch; None where the yarn has no known diameter."""
    lofty = yarn.lofty_um(strands)
    if lofty is None:
        return None
    wrapped = WRAP[stitch] * math.pi * (loom.peg_um + lofty)
    trusted = 6000 <= loom.pitch_um <= 13_000
    if loom.gap_um is None:  # no facing row: the loop runs from one peg to the next
        run = float(loom.pitch_um)
    else:  # the loop crosses the slot and comes back
        gap = loom.gap_um + spacers * (loom.thickness_um or 0)
        run = 2 * math.sqrt(gap**2 + (loom.pitch_um / 2) ** 2)
        trusted = trusted and 2000 <= gap <= 10_000
    width, height = relaxed((run + wrapped) * float(LIES[stitch]))
    # knitter, loom, stitch kind; yarn; the setting itself; what no swatch can take away (all own)
    spread = math.sqrt(3 * 0.08**2 + 0.04**2 + (0.03 if trusted else 0.20) ** 2 + 0.02**2)
    ppm = half_up(spread * 1_000_000)
    return Gauge(width, height, loop_from(width, height, stitch), ppm, ppm, False)


def counted_gauge(kit: dict[str, Any]) -> GaugeOf:
    """A gauge without learning: a swatched setting at its own count, every other at the starting guess.

    Several swatches of one setting are taken as one long one. Spreads: 3 % counted, 7 % same loom, 11 % another loom.
    """
    looms = {raw["name"]: read_loom(raw) for raw in kit.get("loom", ())}
    yarns = {raw["name"]: read_yarn(raw) for raw in kit.get("yarn", ())}
    swatches = kit.get("swatch", ())

    def setting(raw: dict[str, Any]) -> tuple[str, int, str, int, str]:
        return raw["loom"], raw.get("spacers", 0), raw["yarn"], raw.get("strands", 1), raw.get("stitch", "u-wrap")

    def size(counts: list[dict[str, Any]]) -> int:
        over = sum(length_um(one["over"]) for one in counts)
        return half_up(Fraction(over) / sum(Fraction(str(one["count"])) for one in counts))

    def look(loom: str, spacers: int, yarn: str, strands: int, stitch: str) -> Gauge | None:
        own = [raw for raw in swatches if setting(raw) == (loom, spacers, yarn, strands, stitch)]
        if own:
            width, height = size([raw["stitches"] for raw in own]), size([raw["rows"] for raw in own])
            loop, mtex = loop_from(width, height, stitch), yarns[yarn].mtex
            for raw in own:
                if "mass" in raw and mtex:
                    stitches = raw["knitted"]["stitches"] * raw["knitted"]["rows"] * strands
                    loop = half_up(Fraction(mass_mg(raw["mass"]) * 10**9, mtex * stitches))
            return Gauge(width, height, loop, 30_000, 30_000, True)
        start = guess(looms[loom], spacers, yarns[yarn], strands, stitch)
        if start is None or not swatches:
            return start
        ppm = 70_000 if any(raw["loom"] == loom for raw in swatches) else 110_000
        return start._replace(width_ppm=ppm, height_ppm=ppm)

    return look


# ---------------------------------------------------------------- the ask

Band = tuple[int, int, int]  # least, prefer, most (µm)


@dataclass(frozen=True)
class Piece:
    """One knitted piece and its wishes; `sections` in working order, from the kinds named in the properties below."""

    name: str
    sections: tuple[str, ...]
    girth_um: int
    length_um: int
    girth_tol_um: int
    length_tol_um: int
    band: Band | None = None
    repeat: int = 1
    edge: int = 0
    even: bool = False
    bulk_limit_um: int | None = None
    must_pass_um: int | None = None
    flat: bool = False
    copies: int = 1
    seam: int = 0  # pegs whose stitch goes into a seam

    def __post_init__(self) -> None:
        if self.wants_band and self.band is None:
            raise ValueError(f"piece {self.name!r} has a band beside a plain part, so it needs a band depth")

    @property
    def bands(self) -> int:
        return self.sections.count("band")

    @property
    def has_plain(self) -> bool:
        return "plain" in self.sections

    @property
    def wants_band(self) -> bool:
        """Whether the band has a depth of its own; where all rows are band rows, its depth is the length."""
        return self.bands > 0 and self.has_plain

    @property
    def set_up_rows(self) -> int:
        return self.sections.count("drawn cast-on") + self.sections.count("wrapped cast-on")

    @property
    def bind_offs(self) -> int:
        return self.sections.count("bind off")

    @property
    def sewn_offs(self) -> int:
        return self.sections.count("sewn off")

    @property
    def woven_rounds(self) -> int:
        return self.sections.count("drawn cast-on")

    @property
    def gathers(self) -> int:
        return self.sections.count("gather off")


@dataclass(frozen=True)
class Pins:
    """The choices that the ask has already made."""

    loom: str | None = None
    yarn: str | None = None
    pegs: int | None = None
    spacers: int | None = None
    strands: int | None = None


@dataclass(frozen=True)
class Ask:
    """What is wanted. `price` is mm of miss per metre of yarn; `weights` are half-µm per µm of girth, length, band."""

    item: str
    pieces: tuple[Piece, ...]
    stitch: str = "u-wrap"
    pins: Pins = Pins()
    measured_only: bool = False
    price: Fraction = Fraction(1, 10)
    risk_weight: Fraction = Fraction(1)
    dropped: frozenset[str] = frozenset()
    weights: tuple[int, int, int] = (2, 2, 1)
    sure: Fraction | None = None  # the girth of the main piece is at least so likely within its limit

    def __post_init__(self) -> None:
        if unknown := self.dropped - set(RULES):
            raise ValueError(f"no rule is called {sorted(unknown)}")


ITEMS: dict[str, dict[str, Any]] = {
    "hat": {
        "sections": ("drawn cast-on", "plain", "band", "sewn off"),
        "even": True,
        "bulk_limit_um": 320_000,
    },
    "hat-brim-first": {"sections": ("wrapped cast-on", "band", "plain", "gather off"), "bulk_limit_um": 320_000},
    "headband": {"sections": ("wrapped cast-on", "band", "sewn off")},
}


def default_tolerances(girth_um: int, length_um: int) -> tuple[int, int]:
    """Girth within 1 in or 8 %, length within ¾ in or 10 %, the lesser of each."""
    return min(25_400, half_up(Fraction(girth_um * 8, 100))), min(19_050, half_up(Fraction(length_um * 10, 100)))


def default_band(girth_um: int) -> Band:
    """Band depth by custom: 25–50 mm where the girth is under 480 mm, else 25–75 mm."""
    most = 50_000 if girth_um < 480_000 else 75_000
    return 25_000, (25_000 + most) // 2, most


def make_ask(
    item: str,
    girth_um: int,
    length_um: int,
    girth_tol_um: int | None = None,
    length_tol_um: int | None = None,
    band: Band | None = None,
    repeat: int = 2,
    stitch: str = "u-wrap",
    pins: dict[str, Any] | None = None,
    measured_only: bool = False,
    price: Fraction = Fraction(1, 10),
    risk_weight: Fraction = Fraction(1),
    dropped: Iterable[str] = (),
    sure: Fraction | None = None,
) -> Ask:
    """An ask for one of `ITEMS` from plain values; what is left None takes the default of the trade."""
    girth_tol, length_tol = default_tolerances(girth_um, length_um)
    piece = Piece(
        name=item,
        girth_um=girth_um,
        length_um=length_um,
        girth_tol_um=girth_tol if girth_tol_um is None else girth_tol_um,
        length_tol_um=length_tol if length_tol_um is None else length_tol_um,
        band=band or (default_band(girth_um) if "plain" in ITEMS[item]["sections"] else None),
        repeat=repeat,
        **ITEMS[item],
    )
    return Ask(
        *(item, (piece,), stitch, Pins(**(pins or {})), measured_only, price, risk_weight),
        dropped=frozenset(dropped),
        sure=sure,
    )


# ---------------------------------------------------------------- setups


class Frame(NamedTuple):
    """A loom set up for one piece; `changes` leaves out the spacers. Ordered as ties are broken at equal pegs."""

    changes: int
    boards: int
    idle: int
    sides: tuple[str, ...]
    end: str
    per_side: int
    pegs: int


class Rows(NamedTuple):
    """Rows of one piece; `band` is the rows of each band."""

    total: int
    band: int
    plain: int


@dataclass(frozen=True)
class Way:
    """One way to work: a loom with its spacers, a yarn with its strands, and the gauge that they give."""

    loom: Loom
    spacers: int
    yarn: Yarn
    strands: int
    gauge: Gauge


@dataclass(frozen=True)
class Found:
    """A setup with its figures; `frames` and `rows` hold one entry for each piece, the main piece first."""

    score: Fraction
    loom: str
    spacers: int
    yarn: str
    strands: int
    frames: tuple[Frame, ...]
    rows: tuple[Rows, ...]
    changes: int
    fit_half_um: int
    risk_um: int
    yarn_um: int

    @property
    def way(self) -> tuple[str, int, str, int]:
        return self.loom, self.spacers, self.yarn, self.strands

    @property
    def pegs(self) -> int:
        return self.frames[0].pegs

    @property
    def pegs_per_side(self) -> int:
        return self.frames[0].per_side

    @property
    def side_boards(self) -> tuple[str, ...]:
        return self.frames[0].sides

    @property
    def end_board(self) -> str:
        return self.frames[0].end

    @property
    def boards(self) -> int:
        return self.frames[0].boards

    @property
    def idle(self) -> int:
        return self.frames[0].idle

    @property
    def rows_total(self) -> int:
        return self.rows[0].total

    @property
    def rows_plain(self) -> int:
        return self.rows[0].plain

    @property
    def rows_band(self) -> int:
        return self.rows[0].band

    @property
    def tie(self) -> tuple[Any, ...]:
        """What decides, within one way, between setups of equal score."""
        later = [(f.pegs, r.total, r.band, f[1:5]) for f, r in zip(self.frames[1:], self.rows[1:], strict=True)]
        return (self.changes, self.pegs, self.rows_total, self.rows_band, self.frames[0][1:5], later)

    @property
    def order(self) -> tuple[Any, ...]:
        """The total order between options of different ways."""
        return (
            *(self.score, self.changes, self.pegs, self.spacers, self.strands, self.rows_total, self.rows_band),
            *(self.loom, self.yarn, self.boards, self.idle, self.side_boards, self.end_board),
        )


# ---------------------------------------------------------------- rules: each yields its name where it is broken


def way_breaks(ask: Ask, way: Way) -> Iterator[str]:
    """The rules that the way to work breaks before a peg or a row is chosen."""
    lofty, loop, tex = way.yarn.lofty_um(way.strands), way.gauge.loop_um, (way.yarn.mtex or 0) / 1000 * way.strands
    if way.spacers > way.loom.most:
        yield "spacers-on-hand"
    if not way.gauge.swatched:  # a knitter who has knitted it knows that it can be knitted
        if lofty is not None and not 15 * way.loom.pitch_um <= 100 * lofty <= 46 * way.loom.pitch_um:
            yield "yarn-suits-pitch"
        if tex and way.yarn.density:
            pressed = half_up(44.4 * math.sqrt(tex / way.yarn.density))  # d(cm) = 4.44e-3 √(tex/ρ)
            if 10 * loop < 167 * pressed:
                yield "not-jammed"
        if tex and 1000 * half_up(1000 * math.sqrt(tex)) < 500 * loop:
            yield "not-flimsy"
        if ask.measured_only:
            yield "gauge-measured"
    pins = ask.pins
    if pins.loom not in (None, way.loom.name):
        yield "pin-loom"
    if pins.yarn not in (None, way.yarn.name):
        yield "pin-yarn"
    if pins.spacers not in (None, way.spacers):
        yield "pin-spacers"
    if pins.strands not in (None, way.strands):
        yield "pin-strands"


def frame_breaks(way: Way, frame: Frame, flat: bool) -> Iterator[str]:
    """The rules that the boards, the pegs in work and the bolts break."""
    loom = way.loom
    if loom.build == "boards":
        sides = {board.name: board for board in loom.sides}
        ends = {board.name: board for board in loom.ends}
        short = any(2 * frame.sides.count(name) > sides[name].on_hand for name in frame.sides)
        if short or (frame.end and ends[frame.end].on_hand < 2):
            yield "boards-on-hand"
        row = sum(sides[name].pegs for name in frame.sides)
        across = ends[frame.end].pegs if frame.end else 0
        # own: nearer than 30 mm, along the sides, no hook gets between two ends with pegs
        least = 30_000 if across else loom.pitch_um
        whole = (
            least <= frame.per_side * loom.pitch_um <= row * loom.pitch_um if loom.anywhere else frame.per_side == row
        )
        if not (2 <= frame.pegs <= row if flat else whole and frame.pegs == 2 * (frame.per_side + across)):
            yield "pegs-on-loom"
        if way.spacers * loom.bolts * frame.boards > loom.stock:
            yield "spacers-on-hand"
    elif not _fits_fixed(loom, frame.pegs, flat):
        yield "pegs-on-loom"


def _fits_fixed(loom: Loom, pegs: int, flat: bool) -> bool:
    if flat:  # over one peg there is no next stitch to turn to
        return 2 <= pegs <= (loom.pegs_most if loom.build == "ring" else loom.pegs_most // 2)
    if loom.build == "ring":
        return pegs == loom.pegs_most
    return loom.pegs_least <= pegs <= loom.pegs_most and (pegs - loom.pegs_least) % 2 == 0


def peg_breaks(ask: Ask, piece: Piece, way: Way, pegs: int) -> Iterator[str]:
    """The rules that a number of pegs breaks."""
    lofty, girth = way.yarn.lofty_um(way.strands), (pegs - piece.seam) * way.gauge.width_um
    if (pegs - piece.edge) % piece.repeat:
        yield "whole-repeats"
    if piece.even and pegs % 2:
        yield "even-pegs"
    if piece.bulk_limit_um is not None and lofty is not None and pegs * lofty > piece.bulk_limit_um:
        yield "gather-bulk"
    if piece.must_pass_um is not None and 10 * piece.must_pass_um > (11 if piece.bind_offs else 16) * girth:
        yield "stretches-over"
    if abs(girth - piece.girth_um) > piece.girth_tol_um:
        yield "girth-within"
    if piece is ask.pieces[0]:
        if ask.sure is not None and girth_chance(way.gauge, pegs, piece) < ask.sure:
            yield "sure-enough"
        if ask.pins.pegs not in (None, pegs):
            yield "pin-pegs"


def girth_chance(gauge: Gauge, pegs: int, piece: Piece) -> float:
    """How likely the finished girth lies within its limit, its logarithm being Gaussian about the gauge's."""
    girth, spread = NormalDist(), gauge.width_ppm / 1_000_000
    low, high = piece.girth_um - piece.girth_tol_um, piece.girth_um + piece.girth_tol_um
    most = girth.cdf((math.log(high) - math.log(pegs * gauge.width_um)) / spread)
    return most - (girth.cdf((math.log(low) - math.log(pegs * gauge.width_um)) / spread) if low > 0 else 0.0)


def row_breaks(piece: Piece, way: Way, rows: Rows) -> Iterator[str]:
    """The rules that the rows break."""
    height = way.gauge.height_um
    if piece.has_plain and rows.plain < 2:
        yield "room-for-plain"
    if piece.wants_band and piece.band and not piece.band[0] <= rows.band * height <= piece.band[2]:
        yield "band-depth"
    if abs(rows.total * height - piece.length_um) > piece.length_tol_um:
        yield "length-within"


def piece_yarn_um(piece: Piece, way: Way, pegs: int, rows_total: int) -> int:
    """Yarn for a piece and its copies, all strands, each length 10 % longer than it measures."""
    loop, pitch = (11 * way.gauge.loop_um + 5) // 10, way.loom.pitch_um
    stitches = loop * pegs * (rows_total + piece.set_up_rows)
    loose = half_up(Fraction(13, 10) * way.gauge.loop_um)  # one more loop on every peg, 1.3 times as long
    bind_off = half_up(Fraction(11, 10) * loose) * pegs * piece.bind_offs
    woven = half_up(Fraction(11, 10) * pitch) * pegs * piece.woven_rounds  # a strand from peg to peg, once round
    stretched = half_up(Fraction(5, 4) * pegs * way.gauge.width_um)  # an edge gives a quarter more than it measures
    longest = max(piece.must_pass_um or 0, pegs * pitch, stretched)
    sewn = (half_up(Fraction(33, 10) * longest) + 220_000) * piece.sewn_offs  # three strands, and 200 mm to hold
    gather = (half_up(Fraction(11, 10) * pitch) * pegs + 385_000) * piece.gathers  # round the pegs and 350 mm
    return way.strands * piece.copies * (stitches + woven + bind_off + sewn + gather + 330_000)  # two tails of 150 mm


def yarn_on_hand_um(yarn: Yarn) -> int | None:
    """All the yarn there is; None where any amount can be bought."""
    return None if yarn.balls is None or yarn.ball_um is None else yarn.balls * yarn.ball_um


def weigh(ask: Ask, way: Way, frames: Sequence[Frame], rows: Sequence[Rows]) -> tuple[frozenset[str], Found]:
    """Every rule that a finished setup breaks, dropped or not, and the setup with its figures."""
    broken = set(way_breaks(ask, way))
    fit = risk = yarn = 0
    for piece, frame, row in zip(ask.pieces, frames, rows, strict=True):
        broken |= {*frame_breaks(way, frame, piece.flat), *peg_breaks(ask, piece, way, frame.pegs)}
        broken |= set(row_breaks(piece, way, row))
        fit += _peg_fit(ask, piece, way, frame.pegs) + _row_fit(ask, piece, way, row)
        risk += _risk_um(piece, way)
        yarn += piece_yarn_um(piece, way, frame.pegs, row.total)
    on_hand = yarn_on_hand_um(way.yarn)
    if on_hand is not None and yarn > on_hand:
        broken.add("yarn-on-hand")
    score = 5000 * fit + 10_000 * half_up(ask.risk_weight * risk) + yarn * ask.price * 10
    moved = way.loom.stands is not None and way.loom.build == "boards" and way.loom.stands.spacers != way.spacers
    return frozenset(broken), Found(
        score=Fraction(score),
        loom=way.loom.name,
        spacers=way.spacers,
        yarn=way.yarn.name,
        strands=way.strands,
        frames=tuple(frames),
        rows=tuple(rows),
        changes=frames[0].changes + moved,
        fit_half_um=fit,
        risk_um=risk,
        yarn_um=yarn,
    )


def _peg_fit(ask: Ask, piece: Piece, way: Way, pegs: int) -> int:
    return ask.weights[0] * abs((pegs - piece.seam) * way.gauge.width_um - piece.girth_um)


def _row_fit(ask: Ask, piece: Piece, way: Way, rows: Rows) -> int:
    height = way.gauge.height_um
    band = abs(rows.band * height - piece.band[1]) if piece.wants_band and piece.band else 0
    return ask.weights[1] * abs(rows.total * height - piece.length_um) + ask.weights[2] * band


def _risk_um(piece: Piece, way: Way) -> int:
    """0.8 sd is the mean absolute miss of a Gaussian."""
    spread = way.gauge.width_ppm * piece.girth_um + way.gauge.height_ppm * piece.length_um
    return half_up(Fraction(8 * spread, 10_000_000))


# ---------------------------------------------------------------- the loops


def ways(kit: dict[str, Any], ask: Ask, gauge: GaugeOf | None = None) -> Iterator[Way]:
    """Every way to work that has a gauge, whether or not the rules allow it."""
    if gauge is None and kit.get("swatch"):
        raise ValueError("the kit has swatches: give `gauge`, such as counted_gauge(kit)")
    looms, yarns = [read_loom(raw) for raw in kit.get("loom", ())], [read_yarn(raw) for raw in kit.get("yarn", ())]
    strands_tried = sorted({1, 2} | ({ask.pins.strands} if ask.pins.strands else set()))
    for loom in looms:
        for spacers, yarn, strands in product(_spacers(loom, ask), yarns, strands_tried):
            if gauge is None:
                known: Any = guess(loom, spacers, yarn, strands, ask.stitch)
            else:
                known = gauge(loom.name, spacers, yarn.name, strands, ask.stitch)
            if known is not None:
                yield Way(loom, spacers, yarn, strands, Gauge(*known))


def _spacers(loom: Loom, ask: Ask) -> list[int]:
    if loom.build != "boards" or loom.thickness_um is None:
        return [0]  # without spacers there is nothing to bolt in
    free = "spacers-on-hand" in ask.dropped
    tried = set(range((MOST_SPACERS if free else loom.most) + 1)) | {ask.pins.spacers or 0}
    return sorted(s for s in tried if not free or s <= MOST_SPACERS)


def frames(loom: Loom, flat: bool, dropped: frozenset[str]) -> Iterator[Frame]:
    """Every way to set up a loom: boards on a side, ends, pegs in work."""
    free = "pegs-on-loom" in dropped
    ceiling = MOST_PEGS if dropped else 10**9
    if loom.build != "boards":
        for pegs in range(1, (MOST_PEGS if free else min(loom.pegs_most, ceiling)) + 1):
            if free or _fits_fixed(loom, pegs, flat):
                yield Frame(0, 0, 0, (), "", 0, pegs)
        return
    for counts, end in product(_sides(loom, dropped), _ends(loom, dropped)):
        names = tuple(sorted(b.name for b, count in zip(loom.sides, counts, strict=True) for _ in range(count)))
        row = sum(board.pegs * count for board, count in zip(loom.sides, counts, strict=True))
        used = 2 * sum(counts) + (2 if end else 0)
        name, across = (end.name, end.pegs) if end else ("", 0)
        boards_moved = _boards_moved(loom, counts, name)
        if free or flat:  # the frame stands at its full length, whatever is in work
            changes = boards_moved + _end_moved(loom, row)
            for pegs in range(1, min(MOST_PEGS if free else row, ceiling) + 1):
                yield Frame(changes, used, max(0, 2 * (row - pegs)) if not free else 0, names, name, row, pegs)
            continue
        for k in range(1, row + 1) if loom.anywhere else (row,):
            if 1 <= 2 * (k + across) <= ceiling:
                changes = boards_moved + _end_moved(loom, k)
                yield Frame(changes, used, 2 * (row - k), names, name, k, 2 * (k + across))


def _sides(loom: Loom, dropped: frozenset[str]) -> Iterator[tuple[int, ...]]:
    """How many boards of each length one side holds: the other side takes as many again."""
    free = "boards-on-hand" in dropped
    ranges = [range((MOST_BOARDS_A_SIDE if free else board.on_hand // 2) + 1) for board in loom.sides]
    for counts in product(*ranges):
        boards = sum(counts)
        if (boards == 1 if not loom.joining else boards >= 1) and not (free and boards > MOST_BOARDS_A_SIDE):
            yield counts


def _ends(loom: Loom, dropped: frozenset[str]) -> list[Board | None]:
    if not loom.ends:
        return [None]  # plain ends, no pegs
    return [board for board in loom.ends if board.on_hand >= 2 or "boards-on-hand" in dropped]


def _boards_moved(loom: Loom, counts: Sequence[int], end: str) -> int:
    """Boards added or removed; both ends are changed together, two out and two in."""
    if loom.stands is None:
        return 0
    now = [loom.stands.sides.count(board.name) for board in loom.sides]
    return 2 * sum(abs(a - b) for a, b in zip(counts, now, strict=True)) + 2 * (
        (end != "") + (loom.stands.end != "")
    ) * (end != loom.stands.end)


def _end_moved(loom: Loom, per_side: int) -> int:
    return 0 if loom.stands is None or loom.stands.per_side == per_side else 1


def row_choices(piece: Piece, way: Way, dropped: frozenset[str]) -> Iterator[Rows]:
    """Every split of every total worth a look: inside the length window, else up to three wanted lengths."""
    height = way.gauge.height_um
    if "length-within" in dropped:
        least, most = 1, MOST_LENGTHS * piece.length_um // height
    else:  # rows outside the window break length-within
        least = max(1, -((piece.length_tol_um - piece.length_um) // height))
        most = (piece.length_um + piece.length_tol_um) // height
    for total in range(least, most + 1):
        if not piece.bands:
            yield Rows(total, 0, total)
        elif not piece.has_plain:
            if total % piece.bands == 0:
                yield Rows(total, total // piece.bands, 0)
        else:
            for band in range(1, total // piece.bands + 1):
                yield Rows(total, band, total - piece.bands * band)


def _choices(ask: Ask, way: Way, stood: dict[Any, list[Frame]]) -> list[tuple[list[Frame], list[Rows]]] | None:
    """For each piece the frames and the rows that hold their rules; None where a piece has none.

    No rule ties rows to pegs but the yarn, so both are listed apart. Frames with the same pegs differ in nothing but
    the handiness, so the handiest stands for them all.
    """
    if not set(way_breaks(ask, way)) <= ask.dropped:
        return None
    lists = []
    for piece in ask.pieces:
        key = (way.loom.name, piece.flat)
        if key not in stood:
            stood[key] = list(frames(way.loom, piece.flat, ask.dropped))
        allowed: dict[int, bool] = {}
        handiest: dict[int, Frame] = {}
        for frame in stood[key]:
            pegs = frame.pegs
            if pegs not in allowed:
                allowed[pegs] = set(peg_breaks(ask, piece, way, pegs)) <= ask.dropped
            handier = allowed[pegs] and (pegs not in handiest or frame < handiest[pegs])
            if handier and set(frame_breaks(way, frame, piece.flat)) <= ask.dropped:
                handiest[pegs] = frame
        rows = [row for row in row_choices(piece, way, ask.dropped) if set(row_breaks(piece, way, row)) <= ask.dropped]
        if not handiest or not rows:
            return None
        lists.append((list(handiest.values()), rows))
    return lists


def option(ask: Ask, way: Way, stood: dict[Any, list[Frame]] | None = None) -> Found | None:
    """The best setup of one way: least score, then the tie order; None where none holds."""
    lists = _choices(ask, way, {} if stood is None else stood)
    if lists is None:
        return None
    best: Found | None = None
    # A setup scores at least its fit and its risk, yarn costs being never negative: rows go nearest first.
    risk = 10_000 * half_up(ask.risk_weight * sum(_risk_um(piece, way) for piece in ask.pieces))
    nearest = [
        sorted((_row_fit(ask, piece, way, row), row) for row in rows)
        for piece, (_, rows) in zip(ask.pieces, lists, strict=True)
    ]
    for stand in product(*(some for some, _ in lists)):
        peg_fit = sum(_peg_fit(ask, piece, way, f.pegs) for piece, f in zip(ask.pieces, stand, strict=True))
        for chosen in _row_products(nearest):
            fit = peg_fit + sum(one for one, _ in chosen)
            if best is not None and risk + 5000 * fit > best.score:
                if len(nearest) == 1:
                    break
                continue
            broken, found = weigh(ask, way, stand, [row for _, row in chosen])
            if broken <= ask.dropped and (best is None or (found.score, found.tie) < (best.score, best.tie)):
                best = found
    return best


def _row_products(nearest: list[list[tuple[int, Rows]]]) -> Iterable[tuple[tuple[int, Rows], ...]]:
    return ((one,) for one in nearest[0]) if len(nearest) == 1 else product(*nearest)


def best(kit: dict[str, Any], ask: Ask, top: int, gauge: GaugeOf | None = None) -> list[Found]:
    """The `top` best options, one for each way to work, in the total order."""
    stood: dict[Any, list[Frame]] = {}
    options = [found for way in ways(kit, ask, gauge) if (found := option(ask, way, stood)) is not None]
    return sorted(options, key=lambda found: found.order)[:top]


def exists(kit: dict[str, Any], ask: Ask, gauge: GaugeOf | None = None) -> bool:
    """Whether any setup holds every rule that is not dropped."""
    stood: dict[Any, list[Frame]] = {}
    for way in ways(kit, ask, gauge):
        lists = _choices(ask, way, stood)
        if lists is None:
            continue
        # yarn grows with pegs and with rows, so the fewest of both decide
        lightest = sum(
            piece_yarn_um(piece, way, min(f.pegs for f in some), min(row.total for row in rows))
            for piece, (some, rows) in zip(ask.pieces, lists, strict=True)
        )
        on_hand = yarn_on_hand_um(way.yarn)
        if on_hand is None or lightest <= on_hand or "yarn-on-hand" in ask.dropped:
            return True
    return False

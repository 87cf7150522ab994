"""What a sentence about a clash may speak of, and how its lengths, yarns and ways are put."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from catalog.item import item
from catalog.units import half_up, length_text
from solver.asking.wish import Wish
from solver.model.ask import Ask, PieceAsk, Way
from solver.plan.changes import spacers
from solver.terms import count
from solver.why.slack import Relaxed, Remaining


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence without its full stop, with the two numbers it turns on; lengths in µm, unit "um", "pegs", …

    `wish` is what is wanted by itself, "you want the hat 21 in round"; empty for a law.
    """

    says: str
    need: int
    have: int
    unit: str
    wish: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """What a sentence may speak of: the wish, the nearest setup, and the piece that breaks the rule there."""

    wish: Wish
    nearest: Relaxed
    remaining: Remaining

    @property
    def ask(self) -> Ask:
        return self.nearest.cell.ask

    @property
    def way(self) -> Way:
        """The way that the piece is worked."""
        return self.remaining.limits.way

    @property
    def piece(self) -> PieceAsk:
        return self.remaining.limits.piece

    @property
    def name(self) -> str:
        """The piece; as the item is called where it is the main one."""
        return piece_name(self.wish, self.nearest.remaining.index(self.remaining), self.piece)

    @property
    def round(self) -> str:
        """How a girth lies: see `lies`."""
        return lies(self.piece)

    @property
    def pegs(self) -> int:
        """The count of those left that comes nearest to the girth wanted."""
        piece, w = self.piece, self.way.width_um
        return min(self.remaining.counts, key=lambda n: (abs(piece.round_um(n, w) - piece.girth_um), n))

    @property
    def rows(self) -> int:
        h = self.way.height_um
        span = self.remaining.span
        return min(range(span.first, span.last + 1), key=lambda r: (abs(r * h - self.piece.length_um), r))

    @property
    def made(self) -> str:
        """Where and of what, with the pegs: "40 pegs of moss wool on the porch ring"."""
        flat = ", worked flat" if self.piece.seam else ""
        return f"{count(self.pegs, 'peg')} of {worked(self.way)}{flat}"

    def um(self, um: int, other: int | None = None, places: int = 1) -> str:
        """A length in the unit of the ask, with decimals enough to tell it from `other`."""
        return length(um, self.wish.unit, other, places)

    def near(self, low: int, high: int, have: int) -> tuple[str, str]:
        """A span of lengths and one outside it in words, with decimals enough to tell all three apart."""
        first, last, near = tell_apart((low, high, have), self.wish.unit)
        return (last if first == last else f"{first.rsplit(' ', 1)[0]} to {last}"), near


def lies(piece: PieceAsk) -> str:
    """How a girth lies: "round", or "wide" for a piece that stays flat."""
    return "wide" if piece.flat and not piece.seam else "round"


def length(um: int, unit: str, other: int | None = None, places: int = 1) -> str:
    """A length in words with at least `places` decimals, and up to five until it reads otherwise than `other`."""
    while other is not None and places < 5 and other != um:
        if length_text(um, unit, places=places) != length_text(other, unit, places=places):
            break
        places += 1
    return length_text(um, unit, places=places)


def tell_apart(ums: Sequence[int], unit: str) -> list[str]:
    """Lengths in words with one decimal, or with as many, up to five, as tell those that differ apart."""
    for places in range(1, 6):
        words = [length_text(um, unit, places=places) for um in ums]
        if len(set(words)) == len(set(ums)):
            break
    return words


def plain(um: int, unit: str) -> str:
    """A length that was asked for, without a needless ".0"."""
    number, name = length_text(um, unit).rsplit(" ", 1)
    return f"{number.removesuffix('.0')} {name}"


def piece_name(wish: Wish, place: int, piece: PieceAsk) -> str:
    """A piece in words: the main one as the item, the others by their own names."""
    return called(wish) if place == 0 else piece.name


def called(wish: Wish) -> str:
    """What the item is called: its name, or of a name in several words what its title begins with."""
    name = wish.item
    return name if name.isalpha() else item(name, wish.recipes).title.split(",")[0]


def yarn(um: int, unit: str, up: bool) -> str:
    """A length of yarn in whole yards or metres: up for what is needed, down for what there is."""
    per, name = (914_400, "yd") if unit == "in" else (1_000_000, "m")
    return f"{-(-um // per) if up else um // per} {name}"


def gauge_words(case: Case) -> str:
    """A stitch width as it is counted: "4.0 stitches to the inch", "16 stitches to 10 cm"."""
    if case.wish.unit == "in":
        tenths = half_up(Fraction(254_000, case.way.width_um))
        return f"{tenths // 10}.{tenths % 10} stitches to the inch"
    tenths = half_up(Fraction(1_000_000, case.way.width_um))
    return f"{tenths // 10}.{tenths % 10} stitches to 10 cm"


def verb(way: Way, one: str, many: str) -> str:
    """The verb after a yarn in so many strands."""
    return one if way.strands == 1 else many


def worked(way: Way, *, on: bool = True) -> str:
    """A way in words: yarn and strands, loom, spacers."""
    strands = way.yarn if way.strands == 1 else f"{way.strands} strands of {way.yarn}"
    loom = way.loom.name if way.loom.build != "boards" else f"{way.loom.name} with {spacers(way.spacers)}"
    return f"{strands} on the {loom}" if on else strands


def percent(ppm: int) -> str:
    """A chance in per cent."""
    return f"{ppm / 10_000:g} %"

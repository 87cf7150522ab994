"""Why not, in sentences: for each rule of a clash what it needs and what there is, in the unit of the ask."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from catalog.figure import figure
from catalog.units import half_up, length_text
from solver.ask import Ask, LoomAsk, PieceAsk, Way
from solver.breaks import bits
from solver.clash import Reason
from solver.gives import PEGS, Given, Left
from solver.page.terms import count
from solver.rules.sure_enough import best_ppm
from solver.setting_up import spacers
from solver.standing import STOCK
from solver.wish import Wish


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence without its full stop, with the two numbers it turns on; lengths in µm, unit "um", "pegs", …"""

    says: str
    need: int
    have: int
    unit: str


@dataclass(frozen=True, slots=True)
class Case:
    """What a sentence may speak of: the wish, the nearest setup, and the piece that breaks the rule there."""

    wish: Wish
    near: Given
    left: Left

    @property
    def ask(self) -> Ask:
        return self.near.site.ask

    @property
    def way(self) -> Way:
        """The way that the piece is worked."""
        return self.left.room.way

    @property
    def piece(self) -> PieceAsk:
        return self.left.room.piece

    @property
    def name(self) -> str:
        """The piece; as the item is called where it is the main one."""
        return piece_name(self.wish.item, self.near.left.index(self.left), self.piece)

    @property
    def round(self) -> str:
        """How a girth lies: "round", or "wide" for a flat piece."""
        return "wide" if self.piece.flat else "round"

    @property
    def pegs(self) -> int:
        """The count of those left that comes nearest to the girth wanted."""
        w = self.way.width_um
        return min(self.left.counts, key=lambda n: (abs(n * w - self.piece.girth_um), n))

    @property
    def rows(self) -> int:
        h = self.way.height_um
        span = self.left.span
        return min(range(span.first, span.last + 1), key=lambda r: (abs(r * h - self.piece.length_um), r))

    @property
    def made(self) -> str:
        """Where and of what, with the pegs: "40 pegs of moss wool on the porch ring"."""
        return f"{count(self.pegs, 'peg')} of {worked(self.way)}"

    def um(self, um: int, other: int | None = None, places: int = 1) -> str:
        """A length in the unit of the ask, with decimals enough to tell it from `other`."""
        return length(um, self.wish.unit, other, places)

    def span(self, low: int, high: int) -> str:
        """A span of lengths; its unit once."""
        first, last = self.um(low, high), self.um(high, low)
        return last if first == last else f"{first.rsplit(' ', 1)[0]} to {last}"


def length(um: int, unit: str, other: int | None = None, places: int = 1) -> str:
    """A length in words with at least `places` decimals, and up to five until it reads otherwise than `other`."""
    while other is not None and places < 5 and other != um:
        if length_text(um, unit, places=places) != length_text(other, unit, places=places):
            break
        places += 1
    return length_text(um, unit, places=places)


def piece_name(item: str, place: int, piece: PieceAsk) -> str:
    """A piece in words: the main one as the item, the others by their own names."""
    return item if place == 0 else piece.name


def yarn(um: int, unit: str, up: bool) -> str:
    """A length of yarn in whole yards or metres: up for what is needed, down for what there is."""
    per, name = (914_400, "yd") if unit == "in" else (1_000_000, "m")
    return f"{-(-um // per) if up else um // per} {name}"


def said(wish: Wish, reason: Reason) -> Said:
    """The sentence of one rule of a clash."""
    near = reason.nearest
    lefts = [left for left in near.left if _breaks(reason.rule, left, near)] or near.left
    return SAYS[reason.rule](Case(wish, near, lefts[0]))


def _breaks(rule: str, left: Left, near: Given) -> bool:
    """Whether this piece is one that lacks something of the rule."""
    if rule in PEGS:
        return min(PEGS[rule](left, n, near) for n in left.counts) > 0
    if rule == "band-depth":
        return left.room.piece.band is not None
    return True


def because(says: list[str]) -> str:
    """The sentences of a clash as one: because … and …, so …"""
    return f"Because {', and '.join(says)}, no setup fits."


def gauge_words(case: Case) -> str:
    """A stitch width as it is counted: "4.0 stitches to the inch", "16 stitches to 10 cm"."""
    if case.wish.unit == "in":
        tenths = half_up(Fraction(254_000, case.way.width_um))
        return f"{tenths // 10}.{tenths % 10} stitches to the inch"
    tenths = half_up(Fraction(1_000_000, case.way.width_um))
    return f"{tenths // 10}.{tenths % 10} stitches to 10 cm"


def worked(way: Way, *, on: bool = True) -> str:
    """A way in words: yarn and strands, loom, spacers."""
    strands = way.yarn if way.strands == 1 else f"{way.strands} strands of {way.yarn}"
    loom = way.loom.name if way.loom.build != "boards" else f"{way.loom.name} with {spacers(way.spacers)}"
    return f"{strands} on the {loom}" if on else strands


def _needed(case: Case) -> str:
    """Why so many pegs: the girth at its gauge where the girth is held, else the bare count."""
    n, piece = case.pegs, case.piece
    if case.near.allowed & bits("girth-within"):
        return f"{count(n, 'peg')} would be needed"
    whose = "" if case.left is case.near.left[0] else f"the {case.name}, "
    return f"{whose}{case.um(piece.girth_um)} {case.round} at {gauge_words(case)} takes {count(n, 'peg')}"


def _boards(case: Case) -> Said:
    loom = case.way.loom.name
    stand = min(case.left.stands(case.pegs, case.near.allowed), key=lambda s: s.missing)
    says = f"{_needed(case)} and the {loom} lacks {count(stand.missing, 'board')} for that"
    return Said(says, stand.missing, 0, "boards")


def _pegs(case: Case) -> Said:
    loom, standing = case.way.loom, case.left.room.standing
    n = min(case.left.counts, key=lambda m: (abs(m * case.way.width_um - case.piece.girth_um), m))
    stands = case.left.stands(n, case.near.allowed)
    bought = all(s.missing for s in stands)
    offered = standing.offered(bought)
    if not offered:
        return Said(f"the {loom.name} has no boards for its sides", 2, 0, "boards")
    have = min(offered, key=lambda m: (abs(m - n), m))
    return Said(f"{_needed(case)} where {_offers(loom, offered, n, have)}", n, have, "pegs")


def _offers(loom: LoomAsk, offered: list[int], n: int, have: int) -> str:
    """What a loom gives instead of n pegs."""
    if loom.build == "ring":
        return f"the {loom.name} has {have}"
    if n > offered[-1]:
        longest = "the longest sides on hand for the" if loom.build == "boards" else "the"
        return f"{longest} {loom.name} give{'s' * (loom.build != 'boards')} {have}"
    if n < offered[0]:
        return f"the {loom.name} works no fewer than {have}"
    below, above = max(m for m in offered if m < n), min(m for m in offered if m > n)
    return f"the {loom.name} works {below} or {above} and none between"


def _spacers(case: Case) -> Said:
    way, loom = case.way, case.way.loom
    if way.spacers > loom.spacers_most:
        most = f"at most {loom.spacers_most}" if loom.spacers_most else "none"
        says = f"{spacers(way.spacers)} at every bolt would be needed where the {loom.name} takes {most}"
        return Said(says, way.spacers, loom.spacers_most, "spacers")
    stand = min(case.left.stands(case.pegs, case.near.allowed | STOCK), key=lambda s: s.short)
    need = loom.spacers_on_hand + stand.short
    says = (
        f"{spacers(way.spacers)} at every bolt of the {loom.name} take {need} where {loom.spacers_on_hand} are on hand"
    )
    return Said(says, need, loom.spacers_on_hand, "spacers")


def _pitch(case: Case) -> Said:
    way, pitch = case.way, case.way.loom.pitch_um
    lofty = way.lofty_um or 0
    low, high = (half_up(figure(f"lofty_{end}_of_pitch") * pitch) for end in ("least", "most"))
    limit, word = (low, "at least") if lofty < low else (high, "at most")
    apart = f"pegs {case.um(pitch, places=2)} apart ask for {word} {case.um(limit, lofty, 2)}"
    says = f"{worked(way, on=False)} is {case.um(lofty, limit, 2)} thick where on the {way.loom.name} {apart}"
    return Said(says, limit, lofty, "um")


def _jammed(case: Case) -> Said:
    way = case.way
    need = half_up(figure("jam_ratio") * (way.pressed_um or 0))
    loop, most = case.um(way.loop_um, need, 2), case.um(need, way.loop_um, 2)
    return Said(
        f"{worked(way)} makes loops of {loop}, too short for a yarn that needs {most} to bend", need, way.loop_um, "um"
    )


def _flimsy(case: Case) -> Said:
    way = case.way
    most = half_up(Fraction(way.tightness or 0) / figure("flimsy_tightness"))
    loop, limit = case.um(way.loop_um, most, 2), case.um(most, way.loop_um, 2)
    return Said(f"{worked(way)} makes loops of {loop}, flimsy beyond {limit}", most, way.loop_um, "um")


def _repeats(case: Case) -> Said:
    n, piece = case.pegs, case.piece
    repeat, over = piece.repeat, (case.pegs - piece.edge) % piece.repeat
    near = n - over if over * 2 <= repeat and n > over else n - over + repeat
    edge = f" beside {count(piece.edge, 'edge peg')}" if piece.edge else ""
    says = f"{count(n, 'peg')} on the {case.way.loom.name} are no whole repeats of {rib(case)}{edge}: {near} would be"
    return Said(says, near, n, "pegs")


def rib(case: Case) -> str:
    """The rib with the pegs of its repeat."""
    return f"a {case.ask.rib} rib, {case.piece.repeat} pegs each"


def _even(case: Case) -> Said:
    n = case.pegs
    return Said(f"the {case.name} needs pegs in pairs and {n} on the {case.way.loom.name} is odd", n + 1, n, "pegs")


def _pairs(case: Case) -> Said:
    n = case.pegs
    return Said(f"the {case.name} takes as many loops from either edge of its opening and {n} is odd", n + 1, n, "pegs")


def _plain(case: Case) -> Said:
    room, span = case.left.room, case.left.span
    need = int(figure("least_plain_rows"))
    have = need - room.cramped if room.cramped > 0 else span.last - room.piece.bands * span.low - room.reached
    have = max(0, min(have, need - 1))
    says = f"{case.um(case.piece.length_um)} of {case.name} leaves {count(have, 'plain row')} where {need} are needed"
    return Said(says, need, have, "rows")


def _bulk(case: Case) -> Said:
    n, limit = case.left.counts[0], case.piece.bulk_limit_um or 0
    bulk = n * (case.way.lofty_um or 0)
    says = (
        f"{count(n, 'loop')} of {worked(case.way, on=False)} side by side are {case.um(bulk, limit)} "
        f"where a drawn end closes on {case.um(limit, bulk)} at most"
    )
    return Said(says, bulk, limit, "um")


def _stretch(case: Case) -> Said:
    must = case.piece.must_pass_um or 0
    have = half_up(figure("stretch_limit") * case.left.counts[-1] * case.way.width_um)
    says = f"{case.um(must, have)} must pass where {case.made} stretches to {case.um(have, must)} at most"
    return Said(says, must, have, "um")


def _measured(case: Case) -> Said:
    return Said(f"you want measured gauges only and {worked(case.way)} has no swatch", 1, 0, "swatches")


def _yarn(case: Case) -> Said:
    need, have = sum(left.yarn_um for left in case.near.left), case.way.on_hand_um or 0
    unit = case.wish.unit
    says = f"{worked(case.way)} takes {yarn(need, unit, True)} where {yarn(have, unit, False)} are on hand"
    return Said(says, need, have, "um")


def _band(case: Case) -> Said:
    band, span, h = case.piece.band, case.left.span, case.way.height_um
    if band is None:
        raise AssertionError("band-depth breaks without a band")
    below = span.low * h < band.least_um
    have, limit = (span.high * h, band.least_um) if below else (span.low * h, band.most_um)
    asked = case.span(band.least_um, band.most_um)
    says = f"you want the band {asked} deep where the nearest in reach is {case.um(have, limit)}"
    return Said(says, limit, have, "um")


def _girth(case: Case) -> Said:
    piece, have = case.piece, case.pegs * case.way.width_um
    low, high = piece.girth_low_um, piece.girth_um + piece.girth_tol_um
    limit = low if have < low else high
    nearest = f"the nearest in reach is {case.um(have, limit)}, {case.made}"
    says = f"you want the {case.name} {case.span(low, high)} {case.round} where {nearest}"
    return Said(says, limit, have, "um")


def _length(case: Case) -> Said:
    piece, have = case.piece, case.rows * case.way.height_um
    low, high = piece.length_um - piece.length_tol_um, piece.length_um + piece.length_tol_um
    limit = low if have < low else high
    says = f"you want the {case.name} {case.span(low, high)} long where the nearest in reach is {case.um(have, limit)}"
    return Said(says, limit, have, "um")


def _sure(case: Case) -> Said:
    want, best = case.ask.sure_ppm or 0, best_ppm(case.ask, case.way)
    low, high = case.left.room.sure
    if low <= high:
        says = f"{low} to {high} pegs of {worked(case.way)} are sure enough where {case.pegs} is the nearest in reach"
        return Said(says, low if case.pegs < low else high, case.pegs, "pegs")
    says = f"you want the girth {want / 10_000:g} % sure where the surest in reach is {best // 1000 / 10:g} %"
    return Said(says, want, best, "ppm")


def _pinned(field: str) -> Callable[[Case], Said]:
    def says(case: Case) -> Said:
        pin, way = getattr(case.ask.pins, field), case.way
        if field in ("loom", "yarn"):
            other = f"the {way.loom.name}" if field == "loom" else way.yarn
            return Said(f"you name {'the ' * (field == 'loom')}{pin} where {other} would do", 1, 0, "")
        have = case.pegs if field == "pegs" else getattr(way, field)
        what = {"pegs": "peg", "strands": "strand"}.get(field)
        named, other = (count(pin, what), str(have)) if what else (spacers(pin), str(have) if have else "none")
        return Said(f"you name {named} where {other} would do", pin, have, field)

    return says


SAYS: dict[str, Callable[[Case], Said]] = {
    "boards-on-hand": _boards,
    "pegs-on-loom": _pegs,
    "spacers-on-hand": _spacers,
    "yarn-suits-pitch": _pitch,
    "not-jammed": _jammed,
    "not-flimsy": _flimsy,
    "whole-repeats": _repeats,
    "even-pegs": _even,
    "opening-pairs": _pairs,
    "room-for-plain": _plain,
    "gather-bulk": _bulk,
    "stretches-over": _stretch,
    "gauge-measured": _measured,
    "yarn-on-hand": _yarn,
    "band-depth": _band,
    "girth-within": _girth,
    "length-within": _length,
    "sure-enough": _sure,
    **{f"pin-{field}": _pinned(field) for field in ("loom", "yarn", "pegs", "spacers", "strands")},
}

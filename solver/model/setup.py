"""Setup: every quantity that a rule may mention. Whole numbers when finished, CP-SAT expressions while solving.

The same code builds both: a `Picks` hands out the free choices (variables, or their values) and the few operations
that are not linear. Products, tables and remainders are therefore defined here once, and never relaxed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any, Generic, Protocol, TypeAlias, TypeVar, cast

from catalog.figure import mm_um, ppm
from catalog.item import EdgeYarn
from catalog.units import share
from solver.model.ask import FAR_BOARDS, FAR_LENGTHS, FAR_PEGS, Ask, LoomAsk, PieceAsk, Way


class Num(Protocol):
    """An int when finished, an expression while solving, a Linear while read: all that a rule may do with it."""

    def __add__(self, other: Any, /) -> "Num": ...
    def __radd__(self, other: Any, /) -> "Num": ...
    def __sub__(self, other: Any, /) -> "Num": ...
    def __rsub__(self, other: Any, /) -> "Num": ...
    def __mul__(self, other: Any, /) -> "Num": ...
    def __rmul__(self, other: Any, /) -> "Num": ...
    def __le__(self, other: Any, /) -> Any: ...
    def __gt__(self, other: Any, /) -> Any: ...


class Picks(Protocol):
    """Where quantities come from."""

    def pick(self, name: str, least: int, most: int, step: int = 1) -> Num:
        """A free whole number from `least` on, by `step`, to `most`."""

    def product(self, name: str, a: Any, b: Any, most: int) -> Num:
        """a × b, both at least 0, at most `most`."""

    def distance(self, name: str, a: Any, most: int) -> Num:
        """|a|, at most `most`."""

    def least_of_one(self, name: str, a: Any, most: int) -> Num:
        """min(a, 1) of a number 0 … most: whether it is more than 0."""

    def looked_up(self, name: str, table: Sequence[int], a: Any) -> Num:
        """table[a], with a from 0 to the table's last place."""

    def shape(self, least: int, a: Any, most: int) -> None:
        """least ≤ a ≤ most as the shape of a choice, no rule: never relaxed."""


class ValuePicks:
    """Picks with every choice made: plain ints."""

    def __init__(self, values: Mapping[str, int]) -> None:
        self.values = values

    def pick(self, name: str, least: int, most: int, step: int = 1) -> int:
        value = self.values[name]
        if value not in range(least, most + 1, step):
            raise AssertionError(f"{name} = {value} outside {least}..{most} by {step}")
        return value

    def product(self, name: str, a: int, b: int, most: int) -> int:
        return a * b

    def distance(self, name: str, a: int, most: int) -> int:
        return abs(a)

    def least_of_one(self, name: str, a: int, most: int) -> int:
        return min(a, 1)

    def looked_up(self, name: str, table: Sequence[int], a: int) -> int:
        return table[a]

    def shape(self, least: int, a: int, most: int) -> None:
        if not least <= a <= most:
            raise AssertionError(f"a shape of {a}, expected {least}..{most}")


N = TypeVar("N", bound=Num, covariant=True)


@dataclass(slots=True, kw_only=True)
class PieceSetupOf(Generic[N]):
    """One piece as set up: lengths in µm, yarn with its margin and for all its copies and strands."""

    ask: PieceAsk
    way: Way
    pegs: N
    sides: tuple[N, ...]  # boards of each type on one side
    ends: tuple[N, ...]  # 0/1 for each type of end board
    along: N  # pegs in work along one side
    along_most: N  # pegs that the boards of a side have
    boards: N  # boards used, sides and ends
    repeats: N
    pairs: N
    rows_plain: N
    rows_band: N
    rows_total: N
    rows: tuple[N, ...]  # rows of all pegs, section by section
    stitches: N  # of all rows, short rows too
    girth_um: N
    opening_um: N  # of a piece picked up: its loops as wide as they lie in the opening, both edges together
    bulk_um: N  # all its loops side by side, lofty; 0 where nobody knows how thick the yarn is
    length_um: N
    band_um: N
    yarn_um: N

    @property
    def idle(self) -> N:
        """Pegs of the side boards that do not work; of flat work, past its pegs, as many counted on the other side."""
        worked: Any = self.pegs if self.ask.flat else self.along
        idle: Any = 2 * (self.along_most - worked) if self.sides else 0
        return cast("N", idle)


@dataclass(slots=True)
class SetupOf(Generic[N]):
    """All pieces of an ask, the ways they are worked, and their yarn together."""

    ask: Ask
    pieces: tuple[PieceSetupOf[N], ...]
    yarn_um: N

    @property
    def way(self) -> Way:
        """The way the main piece is worked."""
        return self.pieces[0].way

    @staticmethod
    def bare(ask: Ask, ways: Sequence[Way]) -> "Finished":
        """A Setup of which only the ways may be read: for the rules that are `of_way`."""
        nothing: dict[str, Any] = dict.fromkeys(NUMBERS, 0)
        pieces = (PieceSetupOf(ask=p, way=w, **nothing) for p, w in zip(ask.pieces, ways, strict=True))
        return SetupOf(ask, tuple(pieces), 0)


PieceSetup: TypeAlias = PieceSetupOf[Num]
Setup: TypeAlias = SetupOf[Num]
FinishedPiece: TypeAlias = PieceSetupOf[int]
Finished: TypeAlias = SetupOf[int]
NUMBERS = tuple(f.name for f in fields(PieceSetupOf))[2:]


def set_up(picks: Picks, ask: Ask, ways: Sequence[Way], *, boards: bool = True) -> Setup:
    """The Setup of an ask, each piece worked its own way; without `boards` only the pegs of a frame are picked."""
    opened = opening_widths(ask, ways)
    pieces = tuple(
        _piece(picks, ask, p, w, opened.get(i, w.width_um), f"{i}.", boards and w.loom.build == "boards")
        for i, (p, w) in enumerate(zip(ask.pieces, ways, strict=True))
    )
    return SetupOf(ask, pieces, sum(p.yarn_um for p in pieces))


def finished(values: Mapping[str, int], ask: Ask, ways: Sequence[Way]) -> Finished:
    """The Setup of choices that are made: every quantity a plain int."""
    return cast("Finished", set_up(ValuePicks(values), ask, ways))


def whole(number: Num) -> int:
    """A quantity of a finished Setup as the plain int that it is."""
    if not isinstance(number, int):
        raise TypeError(f"found {number!r}, expected a plain int: the setup is not finished")
    return number


def opening_widths(ask: Ask, ways: Sequence[Way]) -> dict[int, int]:
    """For each piece that is picked up from another, by its place, the stitch width where it is, µm."""
    each = zip(ask.pieces, ways, strict=True)
    return {s.opens: way.width_um for piece, way in each for s in piece.sections if s.opens is not None}


def _piece(
    picks: Picks, ask: Ask, piece: PieceAsk, way: Way, opened_um: int, at: str, boarded: bool
) -> PieceSetup:  # fmt: skip
    frame = _frame if boarded else _whole
    pegs, sides, ends, along, along_most, boards = frame(picks, ask, piece, way.loom, at)
    repeats = picks.pick(f"{at}repeats", 0, FAR_PEGS // piece.repeat) if piece.repeat > 1 else pegs - piece.edge
    pairs = picks.pick(f"{at}pairs", 0, FAR_PEGS // 2) if piece.even or piece.picked_up else 0
    most = rows_most(piece, way)
    reached = rows_reached(piece, way)
    rest = picks.pick(f"{at}rows_rest", 0, most)
    band = picks.pick(f"{at}rows_band", 1, most) if piece.band else 0
    rows = tuple(
        {"rest": rest, "band": band, "reach": r, None: 0}[s.rows] for s, r in zip(piece.sections, reached, strict=True)
    )
    total = rest + piece.bands * band + sum(reached)
    plain = sum(r for s, r in zip(piece.sections, rows, strict=True) if s.kind == "plain")
    product = picks.product(f"{at}stitches", pegs, total, FAR_PEGS * (most * (1 + piece.bands) + sum(reached)))
    yarn = yarn_of(piece, way)
    stitches = product + (piece.shorts * picks.looked_up(f"{at}short", SHORT, pegs) if piece.shorts else 0)
    half = picks.looked_up(f"{at}half", HALF, pegs) if piece.half_set_ups else 0
    sewn = picks.looked_up(f"{at}sewn", sewn_table(yarn.sewn), pegs) if yarn.sewn else 0
    return PieceSetupOf(
        ask=piece,
        way=way,
        pegs=pegs,
        sides=sides,
        ends=ends,
        along=along,
        along_most=along_most,
        boards=boards,
        repeats=repeats,
        pairs=pairs,
        rows_plain=plain,
        rows_band=band if piece.band else rest if not piece.has_plain else 0,
        rows_total=total,
        rows=rows,
        stitches=stitches,
        girth_um=pegs * way.width_um - piece.seam * way.width_um,
        opening_um=pegs * opened_um if piece.picked_up else 0,
        bulk_um=pegs * (way.lofty_um or 0),
        length_um=total * way.height_um,
        band_um=band * way.height_um,
        yarn_um=yarn.per_stitch * (stitches + piece.half_set_ups * half) + yarn.per_peg * pegs + yarn.fixed + sewn,
    )  # fmt: skip


def _whole(picks: Picks, ask: Ask, piece: PieceAsk, loom: LoomAsk, at: str) -> tuple[Any, ...]:
    """Pegs, and nothing bolted. A slider moves by two pegs at a time."""
    by_two = loom.build == "slider" and not piece.flat and "pegs-on-loom" not in ask.dropped
    low, step = (2 - loom.pegs_least % 2, 2) if by_two else (1, 1)
    return picks.pick(f"{at}pegs", low, FAR_PEGS, step), (), (), 0, 0, 0


def _frame(picks: Picks, ask: Ask, piece: PieceAsk, loom: LoomAsk, at: str) -> tuple[Any, ...]:
    """A frame: two equal sides and two equal ends, n = 2 (k + e)."""
    far = "boards-on-hand" in ask.dropped
    have = [b.on_hand // 2 for b in loom.boards]
    sides = tuple(picks.pick(f"{at}side{i}", 0, max(FAR_BOARDS, h) if far else h) for i, h in enumerate(have))
    ends = tuple(picks.pick(f"{at}end{j}", 0, 1) for j in range(len(loom.ends)))
    if ends:
        picks.shape(1, sum(ends), 1)
    on_side = sum(sides)
    picks.shape(1, on_side, boards_most(loom, far))
    along_most = sum(b.pegs * c for b, c in zip(loom.boards, sides, strict=True))
    if piece.flat:  # the frame stands at its full length, whatever is in work
        pegs, along = picks.pick(f"{at}pegs", 1, FAR_PEGS), along_most
    else:
        along = picks.pick(f"{at}along", 1, FAR_PEGS // 2)
        free = "pegs-on-loom" in ask.dropped
        pegs = (
            picks.pick(f"{at}pegs", 1, FAR_PEGS)
            if free
            else 2 * along + sum(2 * b.pegs * c for b, c in zip(loom.ends, ends, strict=True))
        )
    return pegs, sides, ends, along, along_most, 2 * on_side + (2 if ends else 0)


def boards_most(loom: LoomAsk, far: bool) -> int:
    """The most boards on one side: one unless they may be joined, else all on hand (`far`: six at least)."""
    have = sum(b.on_hand // 2 for b in loom.boards)
    return 1 if not loom.joining else max(FAR_BOARDS, have) if far else have


def rows_most(piece: PieceAsk, way: Way) -> int:
    """The most rows left to choose: what reaches three times the wanted length, or the asked limit if longer (own)."""
    return max(FAR_LENGTHS * piece.length_um, piece.length_um + piece.length_tol_um) // way.height_um


def rows_reached(piece: PieceAsk, way: Way) -> tuple[int, ...]:
    """For each section the rows that its own length gives, halves up; 0 where it has none."""
    h = way.height_um
    return tuple(0 if s.reach_um is None else max(0, (2 * s.reach_um + h) // (2 * h)) for s in piece.sections)


def short_rows(pegs: int) -> tuple[int, int]:
    """Short rows over half the pegs, down to the narrowest row and back, one peg a row: their rows and stitches.

    With half h and narrowest t the rows have h−1 … t pegs and then t+1 … h: 2(h−t) rows, h² − t² stitches.
    """
    half = pegs // 2
    least = narrowest(half)
    return 2 * (half - least), half * half - least * least


def narrowest(half: int) -> int:
    """Pegs of the narrowest short row over `half` pegs: nearest a third of them, even or odd as they are, ties up.

    Why this way: the sides take a wrap in turn, so only after an even number of narrowing rows has each side as many,
    and only then does the last row end at peg 1, where the rounds go on.
    """
    fewest = 2 - half % 2  # no row is empty
    lower = max((t for t in range(fewest, half + 1, 2) if 3 * t <= half), default=fewest)
    nearer = lower if half - 3 * lower < 3 * (lower + 2) - half else lower + 2
    return min(nearer, half)


HALF = [n // 2 for n in range(FAR_PEGS + 1)]
SHORT = [short_rows(n)[1] for n in range(FAR_PEGS + 1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sewn:
    """The rounds of a sewn end, all strands and copies: their number, and what the way and the piece say of a round."""

    edge: EdgeYarn
    pitch_um: int
    width_um: int
    must_pass_um: int
    more_ppm: int
    times: int

    def um(self, pegs: int) -> int:
        """The yarn over so many pegs, µm; it grows with them."""
        once = self.edge.rounds_um(pegs, self.pitch_um, self.width_um, self.must_pass_um)
        return self.times * share(once, self.more_ppm)


@lru_cache(maxsize=64)
def sewn_table(sewn: Sewn) -> tuple[int, ...]:
    """Its yarn for every peg count. Why a table: a greatest of three with shares rounded is no linear expression."""
    return tuple(sewn.um(n) for n in range(FAR_PEGS + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Yarn:
    """What a piece takes, µm with margin, all strands and copies: per stitch, per peg, and whatever its size.

    shorts and half_set_ups: how many sections have short rows, or loops on half the pegs, beside the rows of all pegs;
    sewn: what a sewn end takes beyond its fixed part.
    """

    per_stitch: int
    per_peg: int
    fixed: int
    shorts: int = 0
    half_set_ups: int = 0
    sewn: Sewn | None = None

    @property
    def bends(self) -> bool:
        """Whether its yarn is no straight line in the pegs."""
        return bool(self.shorts or self.half_set_ups or self.sewn)

    def at_pegs(self, pegs: int) -> int:
        """The yarn that so many pegs take whatever the rows."""
        um = self.per_peg * pegs + self.fixed
        if self.shorts or self.half_set_ups:
            um += self.per_stitch * (self.shorts * SHORT[pegs] + self.half_set_ups * HALF[pegs])
        return um + self.sewn.um(pegs) if self.sewn else um

    def um(self, pegs: int, rows: int) -> int:
        """The yarn of so many pegs and rows of all pegs."""
        return self.per_stitch * pegs * rows + self.at_pegs(pegs)


def yarn_of(piece: PieceAsk, way: Way, *, margin: bool = True) -> Yarn:
    """The yarn constants of a piece; each length takes the margin once and is rounded half up."""
    more = 1_000_000 + (ppm("margin") if margin else 0)
    times = way.strands * piece.copies
    loop, edges = share(way.loop_um, more), [s.edge_yarn for s in piece.sections]
    per_peg = piece.cast_ons * loop + sum(share(e.per_peg_um(way.loop_um, way.loom.pitch_um), more) for e in edges)
    fixed = share(2 * mm_um("tail_mm"), more) + sum(share(e.extra_um, more) for e in edges)
    pitch, pass_um = way.loom.pitch_um, piece.must_pass_um or 0
    sewn = (
        Sewn(edge=e, pitch_um=pitch, width_um=way.width_um, must_pass_um=pass_um, more_ppm=more, times=times)
        for e in edges
        if e.rounds
    )
    return Yarn(
        per_stitch=times * loop,
        per_peg=times * per_peg,
        fixed=times * fixed,
        shorts=piece.shorts,
        half_set_ups=piece.half_set_ups,
        sewn=next(sewn, None),
    )

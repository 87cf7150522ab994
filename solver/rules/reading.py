"""What a rule asks of one piece's pegs and rows, read off its own gaps: the third and the fourth reading of a rule.

Every gap is linear in the quantities of a Setup, and on a given way each of these is a multiple of pegs, of rows or of
a band's rows. So a gap is a line over one of them: where it crosses 0 the rule begins or ceases to hold (windows of
the search, limits of an explanation), and how far it lies above 0 is how much the rule lacks. What cannot be read so
is taught by hand, and TAUGHT says why; any other rule that cannot be read raises Unread.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache
from typing import Any, NamedTuple, TypeVar

from solver.model.ask import FAR_PEGS, Ask, PieceAsk, Way
from solver.model.linear import Linear
from solver.model.rule import Gap, Rule
from solver.model.setup import NUMBERS, PieceSetup, PieceSetupOf, Setup, SetupOf, rows_reached
from solver.rules import RULES

TAUGHT = {
    "boards-on-hand": "boards are bought and bolted in twos, over all boards of a loom",
    "pegs-on-loom": "which pegs a loom has follows from the boards that are bolted, on hand or bought",
    "spacers-on-hand": "spacers go with the boards that are bolted",
    "yarn-on-hand": "yarn joins pegs and rows, and one piece with the next",
}
T = TypeVar("T")
FREE = {"repeats", "pairs"}  # whole numbers that are free, so as near the pegs as they can be


class Unread(Exception):
    """A rule whose gaps are of a form that nothing here can read: read it, or teach it and say so in TAUGHT."""


class Over(IntEnum):
    """What a gap is a line over."""

    PEGS = 0
    ROWS = 1  # all rows
    BAND = 2  # rows of one band
    REST = 3  # the rows left to choose: all rows but those of bands and those that a length gives
    NONE = 4  # nothing: it holds or not, whatever is chosen


COUNTS = (Over.PEGS, Over.ROWS, Over.BAND, Over.REST)


class Line(NamedTuple):
    """A gap over one count x, need − have = slope · x + plus, in the unit of the gap; it holds where that is ≤ 0."""

    rule: str
    side: str
    slope: int
    plus: int

    def lack(self, count: int) -> int:
        """How much it lacks at a count; 0 where it holds."""
        return max(0, self.slope * count + self.plus)

    @property
    def least(self) -> int | None:
        """The least count at which it holds; None where it bounds from above."""
        return -(self.plus // self.slope) if self.slope < 0 else None

    @property
    def most(self) -> int | None:
        """The most at which it holds; None where it bounds from below."""
        return -self.plus // self.slope if self.slope > 0 else None


def lack_of(lines: Sequence[Line]) -> Callable[[int], int]:
    """How much a count lacks of the gaps of one rule: the largest of them, 0 where all hold."""
    if len(lines) == 2:  # a least and a most: by far the commonest, and asked for every peg count of every way
        (_, _, a, b), (_, _, c, d) = lines
        return lambda n: max(0, a * n + b, c * n + d)
    return lambda n: max((line.lack(n) for line in lines), default=0)


Lines = tuple[tuple[Line, ...], ...]  # for each Over its lines


class Law(NamedTuple):
    """A gap of one piece before its way is known: whole multiples of its quantities, need − have."""

    rule: str
    side: str
    terms: tuple[tuple[str, int], ...]
    plus: int


@dataclass(frozen=True, slots=True)
class Laws:
    """The laws of each piece: on counts, and on repeats and pairs. Rules that look at the way are read for each."""

    pieces: tuple[tuple[Law, ...], ...]
    free: tuple[tuple[Law, ...], ...]
    by_way: tuple[Rule, ...]


class _ReadsWay(Exception):
    pass


class _NoWay:
    """A way that is not known yet."""

    def __getattr__(self, _: str) -> Any:
        raise _ReadsWay


def lines_on(ask: Ask, i: int, way: Way, main: Way | None = None, *, held: bool = False) -> Lines:
    """What the rules ask of piece i on a way, the main piece on `main` (the same one where it is None).

    `held`: only rules that the ask does not drop. Raises Unread for a rule that can be neither read nor is taught.
    """
    main = main or way
    return kept(ask, i, way, main, ("lines", held), lambda: _lines_on(ask, i, way, main, held))


def kept(ask: Ask, i: int, way: Way, main: Way, what: object, make: Callable[[], T]) -> T:
    """What is worked out once for all ways of one gauge; for every way by itself where some rule reads the way.

    Why this way: yarns of a class share their guess, so that on a big kit most ways are read for free.
    """
    gauge = (way.key, main.key) if laws_of(ask).by_way else (way.height_um, way.lofty_um)
    key = (what, i, way.width_um, main.width_um, gauge)
    if key not in ask.read:
        ask.read[key] = make()
    found: T = ask.read[key]
    return found


def _lines_on(ask: Ask, i: int, way: Way, main: Way, held: bool) -> Lines:
    laws = laws_of(ask, held)
    each: list[Law] = [*laws.pieces[i]]
    if laws.by_way:
        ways = [main] * len(ask.pieces)
        ways[i] = way
        each += _read(laws.by_way, _unknown(ask, ways))[i]
    return _lines(each, ask.pieces[i], way, main.width_um)


def lacks_of(ask: Ask, i: int, *, held: bool = False) -> Mapping[str, tuple[int, ...]]:
    """For each rule that asks for whole repeats or pairs of piece i, what every count from 0 to FAR_PEGS lacks."""
    if ("lacks", i, held) not in ask.read:
        ask.read["lacks", i, held] = _lacks(laws_of(ask, held).free[i])
    found: Mapping[str, tuple[int, ...]] = ask.read["lacks", i, held]
    return found


def _lacks(laws: Iterable[Law]) -> dict[str, tuple[int, ...]]:
    by_rule: dict[str, list[tuple[int, int, int]]] = {}
    for law in laws:
        terms = dict(law.terms)
        free = next(name for name in terms if name in FREE)
        by_rule.setdefault(law.rule, []).append((terms.get("pegs", 0), terms[free], law.plus))
    return {rule: _nearest(tuple(each)) for rule, each in by_rule.items()}


@lru_cache(maxsize=256)
def _nearest(gaps: tuple[tuple[int, int, int], ...]) -> tuple[int, ...]:
    """For every count of pegs the largest gap, at the free number that makes it least.

    The largest of some lines falls and then rises, so the free number beside which it is no less is the best.
    """

    def worst(n: int, free: int) -> int:
        return max(0, *(a * n + b * free + plus for a, b, plus in gaps))

    found, free = [], 0
    for n in range(FAR_PEGS + 1):
        while worst(n, free + 1) < worst(n, free):
            free += 1
        while free and worst(n, free - 1) < worst(n, free):
            free -= 1
        found.append(worst(n, free))
    return tuple(found)


def laws_of(ask: Ask, held: bool = False) -> Laws:
    """The laws of an ask, read once."""
    if ("laws", held) not in ask.read:
        ask.read["laws", held] = _laws(ask, held)
    found: Laws = ask.read["laws", held]
    return found


def _laws(ask: Ask, held: bool) -> Laws:
    open_ = [r for r in RULES if not r.of_way and r.name not in TAUGHT and not (held and r.name in ask.dropped)]
    bare = _unknown(ask, [_NoWay()] * len(ask.pieces))
    pieces: list[list[Law]] = [[] for _ in ask.pieces]
    by_way = []
    for rule in open_:
        try:
            found = _read((rule,), bare)
        except _ReadsWay:
            by_way.append(rule)
        else:
            for laws, more in zip(pieces, found, strict=True):
                laws += more
    counted = tuple(tuple(law for law in laws if not _is_free(law)) for laws in pieces)
    return Laws(counted, tuple(tuple(filter(_is_free, laws)) for laws in pieces), tuple(by_way))


def _is_free(law: Law) -> bool:
    """Whether a law is over pegs and one free number."""
    names = {name for name, _ in law.terms}
    return len(names & FREE) == 1 and names <= {"pegs", *FREE}


def _unknown(ask: Ask, ways: Iterable[Any]) -> Setup:
    """A Setup with every quantity left open by its name."""
    pieces = tuple(_piece(i, p, w) for i, (p, w) in enumerate(zip(ask.pieces, ways, strict=True)))
    return SetupOf(ask, pieces, Linear({"yarn_um": 1}))


def _piece(i: int, piece: PieceAsk, way: Any) -> PieceSetup:
    return PieceSetupOf(ask=piece, way=way, **_named(i, len(piece.sections)))


@lru_cache(maxsize=64)
def _named(i: int, sections: int) -> dict[str, Any]:
    """Every quantity of piece i by its name."""
    named: dict[str, Any] = {name: Linear({f"{i} {name}": 1}) for name in NUMBERS}
    rows = tuple(Linear({f"{i} rows {k}": 1}) for k in range(sections))
    return {**named, "sides": (), "ends": (), "rows": rows}


def _read(rules: Iterable[Rule], setup: Setup) -> list[list[Law]]:
    """The laws of each piece; a gap that names no quantity counts for the main one."""
    found: list[list[Law]] = [[] for _ in setup.pieces]
    for rule in rules:
        for gap in rule.gaps(setup):
            sum_ = Linear.of(gap.need) - gap.have
            owners = {int(name.split()[0]) for name in sum_.terms if name[0].isdigit()}
            if len(owners) > 1 or len(owners) < bool(sum_.terms):
                raise Unread(f"{rule.name}: found a gap over several pieces, expected one over the rows or pegs of one")
            i = min(owners, default=0)
            found[i].append(_law(rule, gap, sum_, setup.pieces[i].ask))
    return found


def _law(rule: Rule, gap: Gap, sum_: Linear, piece: PieceAsk) -> Law:
    """The gap over the quantities that a way turns into counts: rows of a section by where they come from."""
    if len(sum_.terms) == 1 and " rows" not in (name := next(iter(sum_.terms))):
        return Law(rule.name, gap.about, ((name.split()[1], sum_.terms[name]),), sum_.plus)
    total = Linear(plus=sum_.plus)
    for name, times in sum_.terms.items():
        total += _spelled(name.split()[1:], piece) * times
    return Law(rule.name, gap.about, tuple(total.terms.items()), total.plus)


def _spelled(name: list[str], piece: PieceAsk) -> Linear:
    if name == ["rows_plain"]:
        plain = (k for k, s in enumerate(piece.sections) if s.kind == "plain")
        return sum((_spelled(["rows", str(k)], piece) for k in plain), Linear())
    if name[0] != "rows":
        return Linear({name[0]: 1})
    source = piece.sections[int(name[1])].rows
    return Linear({{"rest": "rest", "band": "rows_band"}.get(source, f"reached {name[1]}"): 1}) if source else Linear()


def _lines(laws: Iterable[Law], piece: PieceAsk, way: Way, opened: int) -> Lines:
    found: list[list[Line]] = [[] for _ in range(len(COUNTS) + 1)]  # by its Over
    counts = _counts(piece, way, opened)
    for law in laws:
        if len(law.terms) == 1 and law.terms[0][0] in counts and not piece.seam:  # nearly all, for every way
            name, times = law.terms[0]
            over, by = counts[name]
            line = Line(law.rule, law.side, times * by, law.plus)
            if (over < Over.REST and by) or (over is Over.REST and times < 0):
                if name != "opening_um" or line not in found[over]:
                    found[over].append(line)
                continue
        over, line = _line(law, counts, piece, way)
        if line not in found[over] and (over is not Over.NONE or line.plus > 0):
            found[over].append(line)
    return tuple(map(tuple, found))


def _counts(piece: PieceAsk, way: Way, opened: int) -> dict[str, tuple[Over, int]]:
    """Each quantity as so many of a count; what a length of its own reaches is a number already."""
    counts = {
        "pegs": (Over.PEGS, 1),
        "girth_um": (Over.PEGS, way.width_um),
        "opening_um": (Over.PEGS, opened),
        "bulk_um": (Over.PEGS, way.lofty_um or 0),
        "rows_total": (Over.ROWS, 1),
        "length_um": (Over.ROWS, way.height_um),
        "rest": (Over.REST, 1),
    }
    if piece.band:
        counts |= {"rows_band": (Over.BAND, 1), "band_um": (Over.BAND, way.height_um)}
    if piece.reaches:
        counts |= {f"reached {k}": (Over.NONE, rows) for k, rows in enumerate(rows_reached(piece, way))}
    return counts


def _line(law: Law, counts: Mapping[str, tuple[Over, int]], piece: PieceAsk, way: Way) -> tuple[Over, Line]:
    """The law as a line over one count."""
    plus, slopes = law.plus, [0] * (len(COUNTS) + 1)  # by its Over; over NONE it is a number
    for name, times in law.terms:
        if name not in counts:
            raise Unread(f"{law.rule}: found a gap over {name}, expected {', '.join(counts)}")
        over, by = counts[name]
        slopes[over] += times * by
        if name == "girth_um":
            plus -= times * piece.seam * way.width_um
    plus += slopes.pop()
    rows, band = slopes[Over.ROWS], slopes[Over.BAND]
    if band and band == -piece.bands * rows and slopes == [0, rows, band, 0]:
        slopes = [0, 0, 0, rows]
        plus += rows * sum(rows_reached(piece, way))
    held = [over for over, slope in zip(COUNTS, slopes, strict=True) if slope] or [Over.NONE]
    over, slope = held[0], sum(slopes)
    if len(held) > 1 or (over is Over.REST and slope > 0):
        raise Unread(f"{law.rule}: found a gap over {' and '.join(o.name.lower() for o in held)}, expected over one")
    return over, Line(law.rule, law.side, slope, plus)

"""The oracle for items of several pieces, openings and short rows: brute force on top of tests.oracle.

Like it, nothing is shared with the program: recipes are written down again here from the physical definitions, short
rows are counted row by row. A lesser piece is worked the main piece's way where it has a setup there by itself, else
any other way of the same yarn and strands, whichever is best.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product
from typing import Any, NamedTuple

from tests import oracle
from tests.oracle import Frame, Rows, Way, half_up


@dataclass(frozen=True)
class Part(oracle.Piece):
    """A piece with what hats do not have.

    `reaches` are the lengths of plain parts whose rows are fixed; `short_rows` sections of short rows; `half_set_ups`
    loops on half the pegs; `opening_of` the place of the piece that it is picked up from; `flat_instead`: it may be
    worked flat where the main piece is, one stitch of it in the seam, where no way holds it in the round.
    """

    reaches: tuple[int, ...] = ()
    short_rows: int = 0
    half_set_ups: int = 0
    opening_of: int | None = None
    flat_instead: bool = False
    girth_least_um: int = 0


def short_rows(pegs: int) -> tuple[int, int]:
    """Rows and stitches of short rows: a peg fewer each row from half the pegs, and back.

    The narrowest row is nearest a third of the half with as many wraps on either side, so after an even number of rows.
    """
    half = working = pegs // 2
    even_turns = [t for t in range(1, half + 1) if (half - t) % 2 == 0]
    least = min(even_turns, key=lambda t: (abs(3 * t - half), -t), default=0)
    rows = stitches = 0
    for goal, step in ((least, -1), (half, 1)):
        while working != goal:
            working += step
            stitches += working
            rows += 1
    return rows, stitches


class Choice(NamedTuple):
    """One piece at one way, as a choice of pegs and rows; ordered as ties are broken."""

    score: Fraction
    changes: int
    pegs: int
    total: int
    band: int
    yarn: int
    frame: Frame


@dataclass(frozen=True)
class Found:
    """A setup: its score with risk, its ways and choices, piece by piece."""

    score: Fraction
    ways: tuple[Way, ...]
    choices: tuple[Choice, ...]

    @property
    def yarn_um(self) -> int:
        return sum(c.yarn for c in self.choices)

    @property
    def keys(self) -> list[tuple[str, int, str, int]]:
        return [(w.loom.name, w.spacers, w.yarn.name, w.strands) for w in self.ways]

    @property
    def order(self) -> tuple[Any, ...]:
        main, way = self.choices[0], self.ways[0]
        frames = [c.frame for c in self.choices]
        return (
            *(self.score, sum(c.changes for c in self.choices), main.pegs, way.spacers, way.strands),
            *(main.total, main.band, way.loom.name, way.yarn.name),
            *(sum(f.boards for f in frames), sum(f.idle for f in frames)),
            [(*f.sides, *([f.end] if f.end else [])) for f in frames],
        )


def fixed_rows(part: Part, way: Way) -> list[int]:
    """The rows that the lengths of its fixed parts give."""
    return [half_up(Fraction(um, way.gauge.height_um)) for um in part.reaches]


def yarn_um(part: Part, way: Way, pegs: int, rows: int) -> int:
    """Yarn of a part: that of a plain piece, and the loops that lie beside its full rows."""
    loop = (11 * way.gauge.loop_um + 5) // 10
    beside = part.short_rows * short_rows(pegs)[1] + part.half_set_ups * (pegs // 2)
    return oracle.piece_yarn_um(part, way, pegs, rows) + way.strands * part.copies * loop * beside


def peg_breaks(ask: oracle.Ask, part: Part, way: Way, pegs: int, opened: Way | None) -> set[str]:
    """The rules that a number of pegs breaks."""
    broken = set(oracle.peg_breaks(ask, part, way, pegs))
    low, high = max(part.girth_um - part.girth_tol_um, part.girth_least_um), part.girth_um + part.girth_tol_um
    if (pegs - part.seam) * way.gauge.width_um < low:
        broken.add("girth-within")
    if part.opening_of is not None:
        if pegs % 2:
            broken.add("opening-pairs")  # as many loops from either edge
        if opened is not None and not low <= pegs * opened.gauge.width_um <= high:
            broken.add("girth-within")  # the opening lies in the other piece's fabric
    return broken


def row_splits(part: Part, way: Way) -> Iterator[Rows]:
    """Every split of every total inside the length limit that keeps two plain rows in each plain part."""
    height, fixed = way.gauge.height_um, fixed_rows(part, way)
    least = max(1, -((part.length_tol_um - part.length_um) // height))
    for total in range(least, (part.length_um + part.length_tol_um) // height + 1):
        for band in range(1, total + 1) if part.wants_band else (0,):
            rest = total - part.bands * band - sum(fixed) if part.has_plain else 0
            if part.has_plain and min([rest, *fixed]) < 2:
                continue
            rows = Rows(total, band if part.has_plain else total, rest + sum(fixed))
            if not set(oracle.row_breaks(part, way, rows)):
                yield rows


def choices(ask: oracle.Ask, i: int, way: Way, opened: Way | None, stood: dict[Any, list[Frame]]) -> list[Choice]:
    """What one piece can be at a way, yarn on hand aside; of choices that another beats in every way none is kept."""
    part: Any = ask.pieces[i]
    alone = ask if i == 0 else replace(ask, pieces=(part,), pins=oracle.Pins())
    if set(oracle.way_breaks(alone, way)):
        return []
    if (way.loom.name, part.flat) not in stood:
        stood[way.loom.name, part.flat] = list(oracle.frames(way.loom, part.flat, frozenset()))
    handiest: dict[int, Frame] = {}
    for frame in stood[way.loom.name, part.flat]:
        if frame.pegs in handiest and handiest[frame.pegs] < frame:
            continue
        if not set(oracle.frame_breaks(way, frame, part.flat)) and not peg_breaks(alone, part, way, frame.pegs, opened):
            handiest[frame.pegs] = frame
    moved = way.loom.stands is not None and way.loom.build == "boards" and way.loom.stands.spacers != way.spacers
    found = []
    splits = list(row_splits(part, way))
    for pegs, frame in handiest.items():
        for rows in splits:
            fit = oracle._peg_fit(ask, part, way, pegs) + oracle._row_fit(ask, part, way, rows)
            yarn = yarn_um(part, way, pegs, rows.total)
            score = 5000 * fit + yarn * ask.price * 10
            found.append(Choice(score, frame.changes + moved, pegs, rows.total, rows.band, yarn, frame))
    found.sort()
    kept: list[Choice] = []
    for one in found:  # a later one is worth keeping only for its yarn
        if not kept or one.yarn < kept[-1].yarn:
            kept.append(one)
    return kept


def best(kit: dict[str, Any], ask: oracle.Ask, top: int, gauge: oracle.GaugeOf | None = None) -> list[Found]:
    """The `top` best options, one for each way of the main piece, in the total order."""
    stood: dict[Any, list[Frame]] = {}
    ways = list(oracle.ways(kit, ask, gauge))
    options = (_option(ask, way, ways, stood) for way in ways)
    return sorted((o for o in options if o), key=lambda o: o.order)[:top]


def _option(ask: oracle.Ask, main: Way, ways: Sequence[Way], stood: dict[Any, list[Frame]]) -> Found | None:
    first = choices(ask, 0, main, None, stood)
    if not first:
        return None
    lesser = []
    for i in range(1, len(ask.pieces)):
        here = choices(ask, i, main, None, stood)
        same = [w for w in ways if (w.yarn.name, w.strands) == (main.yarn.name, main.strands)]
        opened = main if getattr(ask.pieces[i], "opening_of", None) is not None else None
        places = [(main, here)] if here else [(w, c) for w in same if (c := choices(ask, i, w, opened, stood))]
        if not places and getattr(ask.pieces[i], "flat_instead", False):
            places = [(main, c)] if (c := choices(sewn_up(ask, i), i, main, None, stood)) else []
        lesser.append(places)
    found = [
        _least(ask, (main, *(w for w, _ in places)), [first, *(c for _, c in places)]) for places in product(*lesser)
    ]
    return min((f for f in found if f), key=lambda f: (f.score, f.keys), default=None)


def sewn_up(ask: oracle.Ask, i: int) -> oracle.Ask:
    """The ask with one piece worked flat, a stitch of it in the seam."""
    flat: Any = replace(ask.pieces[i], flat=True, seam=1, opening_of=None)  # type: ignore[call-arg]
    return replace(ask, pieces=(*ask.pieces[:i], flat, *ask.pieces[i + 1 :]))


def _least(ask: oracle.Ask, ways: tuple[Way, ...], lists: Sequence[list[Choice]]) -> Found | None:
    """The best of all combinations for which the yarn lasts."""
    stock = oracle.yarn_on_hand_um(ways[0].yarn)
    risk = sum(oracle._risk_um(p, w) for p, w in zip(ask.pieces, ways, strict=True))
    fixed = 10_000 * half_up(ask.risk_weight * risk)
    tried = [each for each in product(*lists) if stock is None or sum(c.yarn for c in each) <= stock]
    if not tried:
        return None
    chosen = min(
        tried, key=lambda each: (sum(c.score for c in each), sum(c.changes for c in each), [c[2:5] for c in each])
    )
    return Found(Fraction(sum(c.score for c in chosen) + fixed), ways, tuple(as_left(ask, ways, chosen)))


def as_left(ask: oracle.Ask, ways: Sequence[Way], chosen: Sequence[Choice]) -> Iterator[Choice]:
    """Each piece on its frame; where an earlier one was worked on that loom, it is changed least from how it was left.

    What is counted as changes of a whole option stays the change from how the looms stand today.
    """
    left: dict[str, oracle.Stand] = {}
    for part, way, choice in zip(ask.pieces, ways, chosen, strict=True):
        loom, frame = way.loom, choice.frame
        if loom.build == "boards":
            if loom.name in left:
                now = replace(loom, stands=left[loom.name])
                flat = part.flat or frame.pegs <= frame.per_side  # a round has more pegs than one of its sides
                each = oracle.frames(now, flat, frozenset())
                frame = min(f for f in each if f.pegs == frame.pegs and not set(oracle.frame_breaks(way, f, flat)))
            left[loom.name] = oracle.Stand(frame.sides, frame.end, frame.per_side, way.spacers)
        yield choice._replace(frame=frame)


# ---------------------------------------------------------------- the recipes, from the physical definitions

PI = Fraction("3.14159265")


def part(name: str, sections: tuple[str, ...], girth_um: int, length_um: int, repeat: int, **more: Any) -> Part:
    """A part with the limits and the band of the trade; `within` replaces the shares of girth and length."""
    within = more.pop("within", (None, None))
    usual = oracle.default_tolerances(girth_um, length_um)
    tolerances = [
        own if share is None else half_up(Fraction(share) * size)
        for own, share, size in zip(usual, within, (girth_um, length_um), strict=True)
    ]
    if "band" in sections and "plain" in sections:
        more.setdefault("band", oracle.default_band(girth_um))
    if "band" not in sections:
        repeat = 1
    return Part(name, sections, girth_um, length_um, *tolerances, repeat=repeat, **more)


def diameter_um(around_um: int) -> int:
    """The diameter of what is so far round."""
    return half_up(around_um / PI)


BALL = ("drawn cast-on", "plain", "gather off")
PICKED_UP = ("plain", "gather off")
TOE_UP = ("drawn cast-on", "plain", "opening", "plain", "band", "sewn off")


def ball(around: int, **_: Any) -> tuple[Part, ...]:
    """From pole to pole a ball is half as long as it is round."""
    return (part("ball", BALL, around, half_up(Fraction(around, 2)), 1, even=True, bulk_limit_um=320_000),)


def bolster(around: int, long: int, **_: Any) -> tuple[Part, ...]:
    """Each drawn end covers one radius."""
    size = {"even": True, "bulk_limit_um": 320_000}
    return (part("bolster", BALL, around, long + diameter_um(around), 1, **size),)


def cowl(
    around: int, long: int, repeat: int, head: int | None = None, neck: int | None = None, **_: Any
) -> tuple[Part, ...]:
    """A band at each end; the head goes through. Within 8 %, and never under 1.07 of the neck, unless it was meant."""
    airy = half_up(Fraction(107, 100) * neck) if neck else 0
    return (
        part("cowl", ("wrapped cast-on", "band", "plain", "band", "sewn off"), around, long, repeat, must_pass_um=head,
             girth_least_um=airy if airy <= around else 0, within=("0.08", None)),
    )  # fmt: skip


def panel(around: int, long: int, repeat: int, **_: Any) -> tuple[Part, ...]:
    """Flat, with one edge stitch on either side; repeat 1 is plain."""
    rows = "plain" if repeat == 1 else "band"
    return (part("panel", ("wrapped cast-on", rows, "bind off"), around, long, repeat, edge=2, flat=True),)


def toy(around: int, **_: Any) -> tuple[Part, ...]:
    """A body, a head four fifths as round and four limbs half as round."""
    sizes = (("body", Fraction(1), 1), ("head", Fraction(4, 5), 1), ("limb", Fraction(1, 2), 4))
    return tuple(
        part(name, BALL, half_up(share * around), half_up(share * around / 2), 1, even=True, bulk_limit_um=320_000,
             copies=copies)
        for name, share, copies in sizes
    )  # fmt: skip


def mittens(around: int, long: int, repeat: int, hand_length: int, **_: Any) -> tuple[Part, ...]:
    """A hand without ease, of no known age. 10 mm of room at the tip, then 0.60 of the hand to the fork of the thumb.

    The thumb is 0.40 as round and 0.32 as long. The cuff is a child's on a hand under 170 mm.
    """
    fork, thumb = half_up(Fraction(60, 100) * hand_length + 10_000), half_up(Fraction(40, 100) * around)
    cuff = (38_000, 44_000, 50_000) if around < 170_000 else (50_000, 62_500, 75_000)
    return (
        part("hand", TOE_UP, around, long, repeat, even=True, bulk_limit_um=160_000, copies=2, reaches=(fork,),
             band=cuff, must_pass_um=around),
        part("thumb", PICKED_UP, thumb, half_up(Fraction(32, 100) * hand_length), 1, bulk_limit_um=160_000, copies=2,
             opening_of=0, within=("0.15", None), flat_instead=True),
    )  # fmt: skip


def _toe_up(around: int, long: int, repeat: int, foot_length: int, heel: int, limit: int) -> tuple[Part, ...]:
    """The drawn heel is a disc, so it covers one radius of the foot."""
    radius = Fraction(diameter_um(around), 2)
    foot = half_up(foot_length - radius)
    return (
        part("foot", TOE_UP, around, long, repeat, even=True, bulk_limit_um=limit, copies=2, reaches=(foot,),
             must_pass_um=heel),
        part("heel", PICKED_UP, around, half_up(radius), 1, bulk_limit_um=limit, copies=2, opening_of=0,
             within=(None, "0.25")),
    )  # fmt: skip


def slippers(around: int, long: int, repeat: int, foot_length: int, heel: int, **_: Any) -> tuple[Part, ...]:
    """Toe up, with the heel picked up from half the pegs."""
    return _toe_up(around, long, repeat, foot_length, heel, 120_000)


def socks(around: int, long: int, repeat: int, foot_length: int, heel: int, **_: Any) -> tuple[Part, ...]:
    """Small ones like slippers; from 170 mm toe and heel are cups of short rows, each a quarter of the girth deep."""
    if around < 170_000:
        return _toe_up(around, long, repeat, foot_length, heel, 70_000)
    cups = Fraction(around, 2)
    sections = ("plain", "plain", "band", "sewn off")
    return (
        part("sock", sections, around, half_up(long - cups), repeat, even=True, copies=2, must_pass_um=heel,
             reaches=(half_up(foot_length - cups),), short_rows=2, half_set_ups=1),
    )  # fmt: skip


RECIPES = {
    "ball": ball, "bolster": bolster, "cowl": cowl, "panel": panel, "toy": toy, "mittens": mittens,
    "slippers": slippers, "socks": socks,
}  # fmt: skip

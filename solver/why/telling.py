"""The one sentence of a clash, as a person at the table would say it: the wish, and the law that stops most ways."""

from collections.abc import Mapping, Sequence

from solver.asking.wish import Wish
from solver.model.ask import Ask
from solver.terms import count
from solver.why.conflict import Clash
from solver.why.nearest import Pointed
from solver.why.relaxing import RULE
from solver.why.stops import PEG_LAWS, buildable, is_wish
from solver.why.twins import leaders
from solver.why.words.sentences import said
from solver.why.words.telling import (
    Point,
    as_one,
    bulk_told,
    named_told,
    offers,
    pegs_told,
    point_at,
    spacers_told,
    wanted,
)
from solver.why.words.unreachable import unreachable

MOST_WORDS = 45
POINTING = (None, *PEG_LAWS, "gather-bulk")  # what points at the nearest setup: these laws, or none at all
SIZES = ("girth-within", "length-within")
Told = tuple[str, list[str]]


def telling(ask: Ask, wish: Wish, clash: Clash, near: Pointed, clauses: Mapping[str, str]) -> Told:
    """The sentence, and the rules that it speaks of: the law that stops most ways first, then the wish.

    `clauses` are the rules of the clash, each with its own.
    """
    if not clauses:
        return as_one([unreachable(wish, clash.cells)]), []
    found = _in_one(wish, clash, near)
    if found is not None:
        return as_one([found[0]]), found[1]
    own = {near.law: said(wish, clash.reason(near.law, near.cells)).says} if near.law else {}
    return _in_clauses(ask, wish, near.law, {**clauses, **own})


def in_short(wish: Wish, clash: Clash, near: Pointed) -> str:
    """The same without its full stop, for a line or the cell of a table: the wish, then the one law that stops it."""
    if not clash.rules:
        return unreachable(wish, clash.cells)
    found = _in_one(wish, clash, near)
    if found is not None:
        return found[0]
    wishes = [rule for rule in clash.rules if is_wish(rule)]
    if near.law is None and wishes:  # a law that stops no way of hers speaks of what cannot be built anyway
        return _wishes(wish, clash, wishes)
    law = near.law or clash.rules[-1]
    says = said(wish, clash.reason(law, near.cells)).says
    want = said(wish, clash.reason(wishes[-1])).wish if wishes and law not in PEG_LAWS else ""
    return f"{want}; {says}" if want else says


def _wishes(wish: Wish, clash: Clash, wishes: Sequence[str]) -> str:
    """Wishes that cannot be had together: a size in full where one is wanted, and one more by itself."""
    full = min(wishes, key=lambda rule: (rule.startswith("pin-"), rule == "gauge-measured", wishes.index(rule)))
    says = said(wish, clash.reason(full)).says
    others = [rule for rule in wishes if rule != full]
    if not others:
        return says
    other = said(wish, clash.reason(others[-1])).wish
    if full == "gauge-measured":
        return f"{other}; {says}"
    return f"{other} and {says.removeprefix('you want ' if other.startswith('you want ') else 'you ')}"


def _in_one(wish: Wish, clash: Clash, near: Pointed) -> Told | None:
    """What has a sentence of its own: a wish that need only be let go, a law that points, a size that no law stops."""
    return _of_wish(wish, clash) or _pointing(wish, clash, near) or _of_size(wish, clash, near)


def _of_wish(wish: Wish, clash: Clash) -> Told | None:
    """A wish that she has only to let go: no law is why she is refused where a way breaks nothing else."""
    if "pin-spacers" in clash.rules and (pinned := spacers_told(wish, [c.way.loom for c in clash.cells])):
        return pinned, [rule for rule in ("spacers-on-hand", "pin-spacers") if rule in clash.rules]
    if "pin-pegs" in clash.rules and (pegs := _pegs_named(wish, clash)):
        return pegs, [rule for rule in (*PEG_LAWS, "pin-pegs") if rule in clash.rules]
    if "sure-enough" in clash.rules:  # of what can be had but not so surely, that is all there is to tell
        return said(wish, clash.reason("sure-enough")).says, ["sure-enough"]
    if {"girth-within", "pin-pegs"} <= {*clash.alone()}:
        girth = said(wish, clash.reason("girth-within")).says.removeprefix("you ")
        return f"you name {count(wish.pins.pegs or 0, 'peg')} and {girth}", ["girth-within", "pin-pegs"]
    return None


def _pegs_named(wish: Wish, clash: Clash) -> str | None:
    """What the loom nearest to the pegs that she names works instead, where none of hers works just these."""
    own = buildable(clash.cells)
    frames = {c.way.loom.name for c in own if c.way.loom.build == "boards"}
    points = [Point(wish, cell.pieces[0], 0, len(frames)) for cell in leaders(own)]
    if not points or any(offers(point, wish.pins.pegs or 0) is None for point in points):
        return None
    return named_told(min(points, key=_from_named))


def _from_named(point: Point) -> tuple[int, object]:
    """How far the pegs that a loom gives instead are from those named."""
    pin = point.wish.pins.pegs or 0
    given = offers(point, pin)
    return min(abs(n - pin) for n in given[1]) if given else pin, point.limits.way.key


def _pointing(wish: Wish, clash: Clash, near: Pointed) -> Told | None:
    """The sentence of a law that has one of its own, without its full stop."""
    girth = [rule for rule in ("girth-within",) if rule in clash.rules]
    if near.law is None or ("pin-pegs" in clash.rules and not girth):
        return None
    point = _point(wish, clash, near, near.law)
    says = None if point is None else _of_law(point, near.law)
    return (says, [near.law, *girth]) if says else None


def _of_law(point: Point, law: str) -> str | None:
    if law in PEG_LAWS:
        return pegs_told(point)
    return bulk_told(point) if law == "gather-bulk" else None


def _point(wish: Wish, clash: Clash, near: Pointed, law: str) -> Point | None:
    """The piece of the nearest setup's way that a law stops."""
    frames = {c.way.loom.name for c in clash.cells if c.way.loom.build == "boards"}
    return None if near.cell is None else point_at(wish, near.cell, law, len(frames))


def _of_size(wish: Wish, clash: Clash, near: Pointed) -> Told | None:
    """The size that comes nearest, where no law is why."""
    rule = next((rule for rule in SIZES if rule in clash.alone()), None)
    if rule == "girth-within" and near.law is None:
        point = _point(wish, clash, near, PEG_LAWS[0])
        if point and (says := pegs_told(point)):
            return says, [rule]
    only = [*filter(is_wish, clash.rules)] == [rule] if near.law is None else RULE[near.law].of_way
    return (said(wish, clash.reason(rule)).says, [rule]) if rule and only else None


def _in_clauses(ask: Ask, wish: Wish, law: str | None, clauses: Mapping[str, str]) -> Told:
    """The wish and as many clauses as one sentence bears: the law that stops most ways first, then what she names."""
    wishes = [rule for rule in [*clauses][::-1] if is_wish(rule)]
    if law is None:
        told, sizes, before = wishes or [*clauses], [], ""
    else:
        told, sizes = [law, *(rule for rule in wishes if rule not in SIZES)], [w for w in wishes if w in SIZES]
        long = "length-within" in sizes or law == "room-for-plain"
        before = "" if law in PEG_LAWS else wanted(ask, wish, long)  # a clause about pegs begins with the girth
    while len(told) > 1 and len(as_one([clauses[rule] for rule in told], before).split()) > MOST_WORDS:
        told.pop()
    return as_one([clauses[rule] for rule in told], before), [*told, *sizes]

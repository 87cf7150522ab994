"""The one sentence of a clash, as a person at the table would say it: the wish, and the law that stops most ways."""

from collections.abc import Mapping, Sequence

from solver.asking.wish import Wish
from solver.why.conflict import Clash
from solver.why.nearest import Pointed
from solver.why.stops import PEG_LAWS, is_wish
from solver.why.words.sentences import because, said
from solver.why.words.telling import Point, bulk_told, named_told, pegs_told, point_at, spacers_told
from solver.why.words.unreachable import unreachable

MOST_WORDS = 45
POINTING = (*PEG_LAWS, "gather-bulk")  # laws with a sentence of their own, which points at the nearest setup
Told = tuple[str, list[str]]


def telling(wish: Wish, clash: Clash, near: Pointed, clauses: Mapping[str, str]) -> Told:
    """The sentence, and the rules that it speaks of: the law that stops most ways first, then the wish.

    `clauses` are the rules of the clash, each with its own.
    """
    if not clauses:
        return because([unreachable(wish, clash.cells)]), []
    pointing = _pointing(wish, clash, near)
    if pointing is None:
        own = {near.law: said(wish, clash.reason(near.law, near.cells)).says} if near.law else {}
        return _because(clash, near.law, {**clauses, **own})
    says, told = pointing
    return f"{says[0].upper()}{says[1:]}.", told


def in_short(wish: Wish, clash: Clash, near: Pointed) -> str:
    """The same without its full stop, for a line or the cell of a table: the wish, then the one law that stops it."""
    if not clash.rules:
        return unreachable(wish, clash.cells)
    pointing = _pointing(wish, clash, near)
    if pointing is not None:
        return pointing[0]
    wishes = [rule for rule in clash.rules if is_wish(rule)]
    if near.law is None and wishes:  # a law that stops no way of hers speaks of what cannot be built anyway
        return _wishes(wish, clash, wishes)
    law = near.law or clash.rules[-1]
    says = said(wish, clash.reason(law, near.cells)).says
    wanted = said(wish, clash.reason(wishes[-1])).wish if wishes and law not in PEG_LAWS else ""
    return f"{wanted}; {says}" if wanted else says


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


def _because(clash: Clash, law: str | None, clauses: Mapping[str, str]) -> Told:
    """Because so and so: as many clauses as one sentence bears."""
    wishes = [rule for rule in reversed(clash.rules) if is_wish(rule)]
    told = [*([law] if law else () if wishes else clash.rules), *wishes]
    while len(told) > 1 and len(because([clauses[rule] for rule in told]).split()) > MOST_WORDS:
        told.pop()
    return because([clauses[rule] for rule in told]), told


def _pointing(wish: Wish, clash: Clash, near: Pointed) -> Told | None:
    """The sentence of a law that has one of its own, without its full stop."""
    if {"spacers-on-hand", "pin-spacers"} == {*clash.rules}:
        pinned = spacers_told(wish, clash.reason("spacers-on-hand").nearest.cell.way.loom)
        return (pinned, list(clash.rules)) if pinned else None
    if near.law is None or near.cell is None:
        return None
    frames = {c.way.loom.name for c in clash.cells if c.way.loom.build == "boards"}
    point = point_at(wish, near.cell, near.law, len(frames))
    named = "pin-pegs" in clash.rules and "girth-within" not in clash.rules
    says = None if point is None else _of_law(point, near.law, named)
    told = [near.law, *(rule for rule in ("pin-pegs" if named else "girth-within",) if rule in clash.rules)]
    return (says, told) if says else None


def _of_law(point: Point, law: str, named: bool) -> str | None:
    if law in PEG_LAWS:
        return named_told(point) if named else pegs_told(point)
    return bulk_told(point) if law == "gather-bulk" and not named else None

"""The one sentence of a clash, as a person at the table would say it: the wish, and the law that stops most ways."""

from collections.abc import Mapping

from solver.asking.wish import Wish
from solver.why.conflict import Clash
from solver.why.nearest import Pointed
from solver.why.stops import PEG_LAWS, is_wish
from solver.why.words.sentences import because
from solver.why.words.telling import Point, bulk_told, named_told, pegs_told, point_at, spacers_told
from solver.why.words.unreachable import unreachable

MOST_WORDS = 45
Told = tuple[str, list[str]]


def telling(wish: Wish, clash: Clash, near: Pointed, clauses: Mapping[str, str]) -> Told:
    """The sentence, and the rules that it speaks of: the law that stops most ways first, then the wish.

    `clauses` are the rules of the clash, each with its own.
    """
    if not clauses:
        return because([unreachable(wish, clash.cells)]), []
    return _pointing(wish, clash, near) or _because(clash, near.law, clauses)


def _because(clash: Clash, law: str | None, clauses: Mapping[str, str]) -> Told:
    """Because so and so: as many clauses as one sentence bears."""
    laws = [law] if law else [rule for rule in clash.rules if not is_wish(rule)]
    told = [*laws, *(rule for rule in reversed(clash.rules) if is_wish(rule))]
    while len(told) > 1 and len(because([clauses[rule] for rule in told]).split()) > MOST_WORDS:
        told.pop()
    return because([clauses[rule] for rule in told]), told


def _pointing(wish: Wish, clash: Clash, near: Pointed) -> Told | None:
    """The sentence of a law that has one of its own."""
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
    return (f"{says[0].upper()}{says[1:]}", told) if says else None


def _of_law(point: Point, law: str, named: bool) -> str | None:
    if law in PEG_LAWS:
        return named_told(point) if named else pegs_told(point)
    return bulk_told(point) if law == "gather-bulk" and not named else None

"""Wishes into groups of equal asks, each with its lines: whoever asks for the same is looked up once."""

import time
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.many.groups import Group
from solver.many.lines import lines_of, sound_ways, worth_keeping
from solver.many.shelf import Shelf
from solver.model.ask import Ask, Way
from solver.model.timing import Undecided


@dataclass(frozen=True, slots=True)
class Wanted:
    """One row of a batch: whom or what for, how many, how soon (1 first … 9 last), the wish."""

    name: str
    wish: Wish
    copies: int = 1
    priority: int = 9


@dataclass(slots=True)
class Gathered:
    """The groups, the ask of each row and the place of its group.

    `two_looms`: groups whose every line needs two looms where turns are counted. `late`: groups that time ran out for.
    """

    asks: list[Ask] = field(default_factory=list)
    groups: list[Group] = field(default_factory=list)
    place: list[int] = field(default_factory=list)
    two_looms: set[int] = field(default_factory=set)
    late: set[int] = field(default_factory=set)


def gather(kit: Kit, wanted: Sequence[Wanted], shelf: Shelf, deadline: float | None = None) -> Gathered:
    """The groups of some rows, in the order of their first rows. Raises InputError of `ask_of`."""
    found = Gathered()
    ways: dict[tuple[Any, ...], tuple[Ask, list[Way]]] = {}
    seen: dict[tuple[Any, ...], int] = {}
    for each in wanted:
        ask, sound, key = _ask(kit, each.wish, shelf, ways)
        found.asks.append(ask)
        at = seen.setdefault((*key, each.priority), len(found.groups))
        found.place.append(at)
        if at < len(found.groups):
            found.groups[at] = replace(found.groups[at], size=found.groups[at].size + each.copies)
            continue
        found.groups.append(Group(each.copies, each.priority, ()))
        twin = next((g for k, g in seen.items() if k[:-1] == key and g < at), None)
        if twin is not None:
            found.groups[at] = replace(found.groups[at], lines=found.groups[twin].lines)
            found.late |= {at} if twin in found.late else set()
            found.two_looms |= {at} if twin in found.two_looms else set()
            continue
        _find_lines(found, at, ask, sound, shelf, deadline)
    return found


def _find_lines(found: Gathered, at: int, ask: Ask, sound: list[Way], shelf: Shelf, deadline: float | None) -> None:
    try:
        if deadline is not None and time.monotonic() >= deadline:
            raise Undecided
        lines = lines_of(ask, sound, deadline)
    except Undecided:
        found.late.add(at)
        return
    kept = worth_keeping(lines, shelf)
    if lines and not kept:
        found.two_looms.add(at)
    found.groups[at] = replace(found.groups[at], lines=tuple(kept))


def _ask(
    kit: Kit, wish: Wish, shelf: Shelf, ways: dict[tuple[Any, ...], tuple[Ask, list[Way]]]
) -> tuple[Ask, list[Way], tuple[Any, ...]]:
    """The ask of a wish, its sound ways, and what tells it from other asks. Ways are looked up once for all alike."""
    alike = (wish.stitch, wish.pins, wish.measured_only)
    like = ways.get(alike)
    ask = ask_of(kit, wish, like=like[0] if like else None)
    if shelf.buy:
        ask = ask.without("yarn-on-hand")
    sound = like[1] if like else sound_ways(ask)
    ways.setdefault(alike, (ask, sound))
    key = (ask.item, ask.pieces, ask.costs, ask.sure_ppm, ask.rib, alike)
    return ask, sound, key

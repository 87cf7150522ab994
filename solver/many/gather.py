"""Wishes into groups of equal asks, each with its lines: whoever asks for the same is looked up once."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.many.groups import Group
from solver.many.lines import sound_ways, useful_lines
from solver.many.shelf import Shelf
from solver.model.ask import Ask, Way
from solver.model.timing import Undecided, look


@dataclass(frozen=True, slots=True)
class Wanted:
    """One row of a batch: whom or what for, how many, how soon (1 first … 9 last), the wish."""

    name: str
    wish: Wish
    copies: int = 1
    priority: int = 9
    row: int = 0  # of the CSV, the heading being row 1


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


class Asks:
    """The asks of a kit; ways to work are looked up once for all wishes of one stitch, pins and gauge."""

    def __init__(self, kit: Kit) -> None:
        self.kit = kit
        self._first: dict[tuple[Any, ...], tuple[Ask, list[Way]]] = {}

    def ask(self, wish: Wish) -> Ask:
        """The ask of a wish. Raises InputError."""
        like = self._first.get(_alike(wish))
        ask = ask_of(self.kit, wish, like=like[0] if like else None)
        if like is None:
            self._first[_alike(wish)] = (ask, sound_ways(ask))
        return ask

    def sound(self, wish: Wish) -> list[Way]:
        """The ways of its ask that no law of the way alone forbids, once it was asked for."""
        return self._first[_alike(wish)][1]


def _alike(wish: Wish) -> tuple[Any, ...]:
    return (wish.stitch, wish.pins, wish.measured_only)


def gather(
    asks: Asks,
    wanted: Sequence[Wanted],
    shelf: Shelf,
    tell: Callable[[int], None] = lambda _: None,
) -> Gathered:
    """The groups of some rows, in the order of their first rows; `tell` hears of each row. InputError of `ask_of`."""
    found = Gathered()
    seen: dict[tuple[Any, ...], int] = {}
    for each in wanted:
        tell(1)
        ask = asks.ask(each.wish)
        ask = ask.without("yarn-on-hand") if shelf.buy else ask
        found.asks.append(ask)
        key = (ask.item, ask.pieces, ask.otherwise, ask.costs, ask.sure_ppm, ask.rib, _alike(each.wish))
        at = seen.setdefault((*key, each.priority), len(found.groups))
        found.place.append(at)
        if at < len(found.groups):
            found.groups[at] = replace(found.groups[at], size=found.groups[at].size + each.copies)
            continue
        found.groups.append(Group(each.copies, each.priority, ()))
        twin = next((g for k, g in seen.items() if k[:-1] == key and g < at), None)
        if twin is None:
            _find_lines(found, at, ask, asks.sound(each.wish), shelf)
        else:  # the same at another priority
            found.groups[at] = replace(found.groups[at], lines=found.groups[twin].lines)
            found.late |= {at for g in found.late if g == twin}
            found.two_looms |= {at for g in found.two_looms if g == twin}
    return found


def _find_lines(found: Gathered, at: int, ask: Ask, sound: list[Way], shelf: Shelf) -> None:
    try:
        look()
        kept, some = useful_lines(ask, sound, shelf)
    except Undecided:
        found.late.add(at)
        return
    if some and not kept:
        found.two_looms.add(at)
    found.groups[at] = replace(found.groups[at], lines=tuple(kept))

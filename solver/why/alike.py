"""One setting for a whole run of sizes: the loom, yarn or spacers that a class is to share, chosen for all of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from catalog.errors import bad_word
from solver.asking.wish import Wish
from solver.model.ask import Ask, Way
from solver.model.timing import Undecided
from solver.search.best_first import find
from solver.search.option import Option

HELD = ("loom", "yarn", "spacers")
Shared = tuple[tuple[str, str | int], ...]  # each choice that is held alike, and its value


@dataclass(frozen=True, slots=True)
class Alike:
    """What the whole run shares, and for each size its best option so worked; None where it has none."""

    shared: Shared
    options: tuple[Option | None, ...]


def held(words: Iterable[str]) -> tuple[str, ...]:
    """The choices to hold alike, in a settled order. Raises InputError for a word that is none of them."""
    asked = list(words)
    for each in asked:
        if each not in HELD:
            raise bad_word("same", each, "loom, yarn or spacers", near=next((h for h in HELD if h[:2] == each[:2]), ""))
    return tuple(h for h in HELD if h in asked)


def alike(asks: Sequence[Ask], same: Sequence[str]) -> Alike:
    """The choice with a setup for the most sizes, among equals the least score of all, then the first by name.

    Yarn is held in as many strands: the same yarn doubled is another fabric. Raises Undecided where time runs out.
    """
    each: dict[Shared, list[Option | None]] = {}
    for i, ask in enumerate(asks):
        found = find(ask, len(ask.ways))  # the best of every way to work
        if not found.complete:
            raise Undecided
        for option in found.options:
            mine = each.setdefault(shared_of(option.setup.way, same), [None] * len(asks))
            mine[i] = mine[i] or option
    if not each:
        return Alike((), (None,) * len(asks))
    shared, options = min(each.items(), key=_worth)
    return Alike(shared, tuple(options))


def shared_of(way: Way, same: Sequence[str]) -> Shared:
    """What a way to work has of the choices that are held."""
    values: dict[str, str | int] = {
        "loom": way.loom.name,
        "yarn": way.yarn,
        "strands": way.strands,
        "spacers": way.spacers,
    }
    names = [n for h in same for n in ((h, "strands") if h == "yarn" else (h,))]
    return tuple((name, values[name]) for name in names)


def _worth(one: tuple[Shared, list[Option | None]]) -> tuple[object, ...]:
    shared, options = one
    made = [o for o in options if o]
    return -len(made), sum(o.score for o in made), shared


def pinned(wish: Wish, shared: Shared) -> Wish:
    """The wish with what the run shares as its own choices, for saying why a size has no setup."""
    choices: dict[str, Any] = dict(shared)
    return replace(wish, pins=replace(wish.pins, **choices))


def said(shared: Shared) -> str:
    """What the run shares, in a sentence."""
    told = dict(shared)
    strands = f" in {told['strands']} strands" if told.get("strands", 1) != 1 else ""
    words = {
        "loom": f"the {told.get('loom')}",
        "yarn": f"{told.get('yarn')}{strands}",
        "spacers": f"{told.get('spacers') or 'no'} {'spacer' if told.get('spacers') == 1 else 'spacers'} at every bolt",
    }
    return "all sizes alike: " + ", ".join(words[name] for name in HELD if name in told)

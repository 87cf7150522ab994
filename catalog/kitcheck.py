"""What no single entry of a kit can know: names given twice, names that do not exist, and who is meant by a name.

One fault, one error: what follows from another error is not told beside it.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from catalog import units
from catalog.errors import near, nearest, shown
from catalog.known import meant, names_by

if TYPE_CHECKING:
    from catalog.kit import Frame, Kit, Swatch

Clash = tuple[tuple[Any, ...], str, Callable[[], str]]  # the path, what is wrong there, a hint (dear to find)


def as_named(kit: "Kit") -> "Kit":
    """The kit with names that entries give spelt as they stand where they are defined ("Moss Wool" → "moss wool")."""
    looms, yarns = names_by(e.name for e in kit.loom), names_by(e.name for e in kit.yarn)
    swatches = tuple(_swatch_named(e, looms, yarns) for e in kit.swatch)
    frames = tuple(_frame_named(e) if e.build == "boards" and e.set_up_as else e for e in kit.loom)
    return kit.model_copy(update={"swatch": swatches, "loom": frames})


def _swatch_named(swatch: "Swatch", looms: Mapping[str, str], yarns: Mapping[str, str]) -> "Swatch":
    loom, yarn = meant(swatch.loom, looms) or swatch.loom, meant(swatch.yarn, yarns) or swatch.yarn
    same = (loom, yarn) == (swatch.loom, swatch.yarn)
    return swatch if same else swatch.model_copy(update={"loom": loom, "yarn": yarn})


def _frame_named(loom: "Frame") -> "Frame":
    now = loom.set_up_as
    if now is None:
        return loom
    sides, ends = names_by(b.name for b in loom.side_boards), names_by(b.name for b in loom.end_boards)
    named = {
        "sides": tuple(meant(name, sides) or name for name in now.sides),
        "ends": now.ends if now.ends is None else meant(now.ends, ends) or now.ends,
    }
    return loom.model_copy(update={"set_up_as": now.model_copy(update=named)})


def clashes(kit: "Kit") -> Iterator[Clash]:
    """Names given twice, and names that do not exist, in the kit's order of tables."""
    for table in ("loom", "yarn", "wearer"):
        yield from _twice(table, (), [e.name for e in getattr(kit, table)])
    for i, each in enumerate(kit.loom):
        if each.build == "boards":
            yield from _frame(each, i)
    yield from _swatches(kit)
    yield from _eases(kit)


def _eases(kit: "Kit") -> Iterator[Clash]:
    """Names in a wearer's ease that are nearly an item's; any other may be a recipe of one's own."""
    from catalog.item import item_names

    items = item_names()
    for i, wearer in enumerate(kit.wearer):
        for name, _ in wearer.ease:
            if name and name not in items and near(name, items):
                words = f"found item {shown(name)}, which does not exist"
                yield ("wearer", i, "ease", name), words, partial(nearest, name, items)


def _swatches(kit: "Kit") -> Iterator[Clash]:
    yarns = dict.fromkeys(y.name for y in kit.yarn)
    looms = {e.name: e for e in kit.loom}
    twice = {name for name, n in Counter(e.name for e in kit.loom).items() if n > 1}
    for i, swatch in enumerate(kit.swatch):
        yield from _known(("swatch", i, "loom"), "loom", swatch.loom, looms)
        yield from _known(("swatch", i, "yarn"), "yarn", swatch.yarn, yarns)
        loom = looms.get(swatch.loom)
        if loom is None or loom.name in twice:  # which of the two it was is not known: that fault is told already
            continue
        most = loom.spacers.most if loom.build == "boards" and loom.spacers else 0
        if swatch.spacers > most:
            words = f"found {swatch.spacers}, expected at most {most}, as {shown(loom.name)} allows"
            yield ("swatch", i, "spacers"), words, str


def _frame(loom: "Frame", i: int) -> Iterator[Clash]:
    sides, ends = [b.name for b in loom.side_boards], [b.name for b in loom.end_boards]
    yield from _twice("side_boards", ("loom", i), sides)
    yield from _twice("end_boards", ("loom", i), ends)
    for j, board in enumerate(loom.side_boards):
        if board.pegs(loom.pitch_um) == 0:
            pitch = units.plain_mm(loom.pitch_um)
            words = f"found a side board of 0 pegs, expected at least 1 (pitch {pitch} mm)"
            yield ("loom", i, "side_boards", j), words, str
    if not loom.set_up_as:
        return
    for name in loom.set_up_as.sides:
        yield from _known(("loom", i, "set_up_as", "sides"), "side board", name, dict.fromkeys(sides))
    if loom.set_up_as.ends is not None:
        yield from _known(("loom", i, "set_up_as", "ends"), "end board", loom.set_up_as.ends, dict.fromkeys(ends))


def _twice(table: str, at: tuple[Any, ...], names: list[str]) -> Iterator[Clash]:
    """One error for each name that is given more than once, at its second place."""
    seen: Counter[str] = Counter()
    total = Counter(names)
    for i, name in enumerate(names):
        seen[name] += 1
        if seen[name] == 2:
            often = "twice" if total[name] == 2 else f"{total[name]} times"
            yield (*at, table, i, "name"), f"found {shown(name)} {often}, expected every name once", str


def _known(path: tuple[Any, ...], what: str, name: str, known: Mapping[str, Any]) -> Iterator[Clash]:
    if name not in known:
        yield path, f"found {what} {shown(name)}, which does not exist", partial(nearest, name, known)

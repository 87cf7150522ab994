"""Without a size: the whole span of girths that each loom can make of an item, by spacer setting, yarn and strands."""

from collections.abc import Iterator
from dataclasses import replace

from catalog.item import Item, item
from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.gauging.doubt import doubt_notes
from solver.plan.in_plain import mm
from solver.report.check import SpanReport, SpanRow
from solver.why.limits import CellLimits, cell_limits
from solver.why.violations import bits

NOMINAL_UM, NOMINAL_SIZE = 300_000, "adult-woman"  # a size to build the recipe at; no row depends on it
FREE = bits("girth-within", "stretches-over", "sure-enough")
NOTE = "no size was asked: lengths, yarn on hand and what must pass over are not judged"


def span(kit: Kit, wish: Wish) -> SpanReport:
    """The span of an item on every loom of the kit, or the pinned one. Raises InputError."""
    ask = ask_of(kit, sized(wish, item(wish.item, wish.recipes)))
    rows = list(_rows(cell_limits(ask)))
    remaining = sorted({loom.name for loom in kit.loom if wish.pins.loom in (None, loom.name)} - {r.loom for r in rows})
    return SpanReport(
        item=wish.item, rib=ask.rib, stitch=ask.stitch, rows=rows, none=remaining, notes=[*doubt_notes(kit), NOTE]
    )


def has_size(wish: Wish) -> bool:
    """Whether a wish says how large."""
    size = (wish.around_um, wish.body_um, wish.wearer, wish.size, wish.age, wish.wide_um)
    return any(each is not None for each in size)


def sized(wish: Wish, recipe: Item) -> Wish:
    """The wish at some size at which the recipe can be built."""
    long_um = wish.long_um if wish.long_um is not None or recipe.long else NOMINAL_UM
    if recipe.flat:
        return replace(wish, wide_um=NOMINAL_UM, long_um=long_um)
    if recipe.body is None:
        return replace(wish, around_um=NOMINAL_UM, long_um=_long(recipe, long_um), fit=None, ease_um=None)
    return replace(wish, size=NOMINAL_SIZE)


def _long(recipe: Item, long_um: int | None) -> int | None:
    """A length only where some piece is as long as is asked."""
    return long_um if any("long" in form for p in recipe.piece for form in p.forms) else None


def _rows(cells: list[CellLimits]) -> Iterator[SpanRow]:
    for cell in sorted((c for c in cells if c.mask == 0), key=lambda c: c.way.key):
        limits, way = cell.pieces[0], cell.way
        counts = limits.counts(FREE)
        if counts:
            yield SpanRow(
                loom=way.loom.name,
                spacers=way.spacers,
                yarn=way.yarn,
                strands=way.strands,
                pegs_least=counts[0],
                pegs_most=counts[-1],
                girth_least_mm=mm(counts[0] * way.width_um),
                girth_most_mm=mm(counts[-1] * way.width_um),
                girths=len(counts),
                gauge_basis=way.basis,
            )

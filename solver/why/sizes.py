"""One item over a run of sizes: for each its best setup, or a short reason why there is none.

The ways to work and their gauges are the same at every size, so they are looked up once.
"""

from collections.abc import Sequence
from dataclasses import replace

from catalog.body import SIZES, body
from catalog.bodyage import age_months, size_months, size_named
from catalog.errors import InputError, bad_word, unknown_word, word
from catalog.item import Item, item
from catalog.kit import Kit
from catalog.units import UnitError, length_text, length_um, unit_of
from solver.asking.ask_of import ask_of
from solver.asking.girth import too_young
from solver.asking.wish import Wish
from solver.model.ask import Ask, Way
from solver.model.timing import Undecided
from solver.plan.answer import cautions
from solver.plan.in_plain import lengths_asked, mm, option_plan
from solver.report.check import SizeRow, SizesReport
from solver.search.best_first import find
from solver.search.option import Option
from solver.why.alike import Alike, alike, held, pinned, said
from solver.why.explain import diagnose, rule_plans, short_words
from solver.why.limits import PINNED, way_mask

MOST_SIZES = 200
GIRTHS = ("around_um", "body_um", "wearer", "size", "age", "wide_um")


def sizes(kit: Kit, wish: Wish, listed: str | None = None, same: Sequence[str] = ()) -> SizesReport:
    """A wish graded over the sizes of a list such as "15in,17in,adult-woman", or over the bodies of the catalogue.

    `same` names what all sizes share, of loom, yarn (in as many strands) and spacers: chosen for the whole run.
    Raises InputError for sizes that cannot be read, and where the item's body is in no table.
    """
    same, recipe = held(same), item(wish.item, wish.recipes)
    given = [name for name in GIRTHS if getattr(wish, name) is not None and name != "age"]
    if given:
        raise bad_word(given[0].removesuffix("_um"), "a size", f"{word('sizes')} instead: a run has many")
    runs = _listed(recipe, wish, listed) if listed is not None else _bodies(recipe, wish)
    rows: list[SizeRow] = []
    first: Ask | None = None
    late: list[str] = []
    warned: dict[str, None] = {}
    told: list[tuple[str, ...]] = []  # what is to be said of each size
    run: Alike | None = None
    for i, (name, each) in enumerate(runs):
        try:
            ask = ask_of(kit, each, like=first)
            if first is None:
                first = ask = replace(ask, ways=_able(ask))
            if same and run is None:
                run = alike([ask, *(ask_of(kit, other, like=first) for _, other in runs[1:])], same)
            rows.append(_row(kit, each, ask, name) if run is None else _held(kit, each, ask, name, run, i))
        except Undecided:
            late.append(f"time ran out before {name} and what follows could be judged")
            break
        warned |= dict.fromkeys(cautions(kit, each, ask, [o] if (o := rows[-1].option) else [], classroom=True))
        told.append(ask_of(kit, each, like=first).notes)
    start = told[0] if told else ()
    every = [note for note in start if all(note in each for each in told)]
    every += [said(run.shared)] if run and run.shared else []
    notes = [*every, *(note for note in (first.notes if first else ()) if note not in start), *late]
    return SizesReport(
        item=wish.item, rib=first.rib if first else None, stitch=wish.stitch, rows=rows, cautions=list(warned),
        notes=notes, complete=not late,
    )  # fmt: skip


def _held(kit: Kit, wish: Wish, ask: Ask, name: str, run: Alike, i: int) -> SizeRow:
    """The row of a size in a run that shares its setting; where it has none, why not there."""
    return _told(kit, pinned(wish, run.shared), ask, name, run.options[i])


def _able(ask: Ask) -> tuple[Way, ...]:
    """The ways that break no rule whatever the size; a lesser piece need not follow what the ask pins."""
    free = PINNED if len(ask.pieces) > 1 else 0
    return tuple(w for w in ask.ways if way_mask(ask, w) & ~free == 0)


def unit_in(listed: str) -> str:
    """The unit of the first length in a list of sizes; cm where all are names."""
    names = (each.strip() for each in listed.split(","))
    lengths = [name for name in names if name and not (name[0].isalpha() or size_named(name) or _is_age(name))]
    return unit_of(lengths[0]) if lengths else "cm"


def _bodies(recipe: Item, wish: Wish) -> list[tuple[str, Wish]]:
    """Every body of the catalogue that has the girth this item is made to."""
    if recipe.body is None:
        example = f'{word("sizes")} "15in,17in,21in"'
        raise bad_word("sizes", None, f"the sizes of the {recipe.name}", example)
    found = []
    for size in SIZES:
        if too_young(recipe, size_months(size)):
            continue
        try:
            body(recipe.body, size=size, sex=wish.sex)
        except InputError:
            continue
        found.append((size, replace(wish, size=size, age=None)))
    return found


def _listed(recipe: Item, wish: Wish, listed: str) -> list[tuple[str, Wish]]:
    words = [word.strip() for word in listed.split(",") if word.strip()]
    if not 1 <= len(words) <= MOST_SIZES:
        raise bad_word("sizes", listed, f"1 to {MOST_SIZES} sizes with commas between, such as 15in,17in,21in")
    return [_one(recipe, wish, word) for word in words]


def _one(recipe: Item, wish: Wish, word: str) -> tuple[str, Wish]:
    """One size: a body of the catalogue by name or age, or a length: of the body, else of the thing itself."""
    size = size_named(word)
    if size and recipe.body is not None:
        return size, replace(wish, size=size, age=None)
    if recipe.body is not None and _is_age(word):
        return word, replace(wish, age=word)
    if word[0].isalpha():
        raise unknown_word("sizes", "size", word, SIZES)
    try:
        um = length_um(word, most=5_000_000, example="21 in")
    except UnitError as error:
        raise bad_word("sizes", word, str(error).removeprefix("expected "), error.hint) from None
    name = length_text(um, wish.unit)
    if recipe.flat:
        return name, replace(wish, wide_um=um)
    return name, replace(wish, around_um=um) if recipe.body is None else replace(wish, body_um=um)


def _is_age(text: str) -> bool:
    """Whether it can only be an age: "9 years", "7 months" (a bare "9 m" is a length)."""
    try:
        age_months(text)
    except InputError:
        return False
    try:
        length_um(text)
    except UnitError:
        return True
    return False


def _row(kit: Kit, wish: Wish, ask: Ask, name: str) -> SizeRow:
    found = find(ask, 1)
    if not found.options and not found.complete:
        raise Undecided
    return _told(kit, wish, ask, name, next(iter(found.options), None))


def _told(kit: Kit, wish: Wish, ask: Ask, name: str, option: Option | None) -> SizeRow:
    main = ask.pieces[0]
    failed = diagnose(kit, wish) if option is None else None
    return SizeRow(
        size=name,
        body_mm=None if ask.body_um is None else mm(ask.body_um),
        girth_mm=mm(main.girth_um),
        length_mm=mm(main.length_um),
        long_mm=lengths_asked(main)[0].mm,
        option=option_plan(option, 1) if option else None,
        clash=rule_plans(failed, failed.clash) if failed else [],
        says=short_words(failed) if failed else "",
    )

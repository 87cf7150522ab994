"""From a body, or a finished girth, to the girth that is wanted: body girth + ease."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from fractions import Fraction

from catalog.body import Body, Measure, age_months, body
from catalog.bodyage import size_months
from catalog.errors import Fault, InputError, bad_word, unknown_word, word
from catalog.item import Item
from catalog.kit import Kit, Wearer
from catalog.plausible import odd
from catalog.units import half_up, length_text
from solver.asking.wish import Wish

ADULT_MONTHS = 216
ONE_OF = (
    f'one of {word("around")} "21 in", {word("body")} "22 in", {word("wearer")} NAME, {word("size")} NAME, '
    f'{word("age")} "18 months"'
)


@dataclass(frozen=True, slots=True)
class Girth:
    """The finished girth wanted, the body girth it comes from (None where it is asked itself), the ease, who wears it.

    Of something flat the girth is its width.
    """

    around_um: int
    body_um: int | None
    ease_um: int | None
    months: Fraction | None
    notes: tuple[str, ...] = ()
    wearer: Wearer | None = None
    body_sd_um: int | None = None  # how such bodies differ, where this one came from a table and not from a tape

    @property
    def adult(self) -> bool:
        """Whether the wearer is known to be grown up."""
        return self.months is not None and self.months >= ADULT_MONTHS


def girth_of(kit: Kit, recipe: Item, wish: Wish) -> Girth:
    """The girth wanted. Raises InputError unless exactly one of around, body, wearer, size, age is given.

    Something flat takes a width, and none of them but an age, for its cautions.
    """
    given = {name for name in GIVEN if getattr(wish, f"{name}_um", getattr(wish, name, None)) is not None}
    wrong = [*conflicts(recipe, given), *_lacking(recipe, given)]
    if wrong:
        raise InputError("", *wrong)
    months = age_months(wish.age) if wish.age else None
    if wish.wide_um is not None:
        return Girth(wish.wide_um, None, None, months)
    _old_enough(recipe, months, "age", "")
    if wish.around_um is not None:
        return Girth(wish.around_um, None, None, months)
    return _with_ease(kit, recipe, wish, months)


GIVEN = ("around", "body", "wearer", "size", "age", "wide", "fit", "ease")


def conflicts(recipe: Item, given: Collection[str]) -> Iterator[Fault]:
    """What cannot stand together in an ask, by its words alone: several girths, an ease on what is finished."""
    sources = _sources(given)
    if recipe.flat and sources not in ([], ["age"]):
        yield _wide(recipe, sources)
    elif not recipe.flat and "wide" in given:
        yield Fault("wide", "a width", f"{word('around')} or a body: {recipe.name} is worked in the round")
    elif len(sources) > 1:
        yield from (Fault(name, f"{len(sources)} girths", ONE_OF) for name in sources)
    finished = "wide" if recipe.flat else "around"
    if finished in given and not {"fit", "ease"}.isdisjoint(given):
        yield _no_ease(finished, "width" if recipe.flat else "girth")


def _lacking(recipe: Item, given: Collection[str]) -> Iterator[Fault]:
    """What an ask cannot be without."""
    sources = _sources(given)
    if recipe.flat and "wide" not in given and sources in ([], ["age"]):
        yield _wide(recipe, sources)
    elif not recipe.flat and not sources and "wide" not in given:
        yield Fault("around", "none of them", ONE_OF)


def _sources(given: Collection[str]) -> list[str]:
    """The words that say how large; an age only where no other does."""
    return [name for name in ("around", "body", "wearer", "size") if name in given] or ["age"] * ("age" in given)


def _wide(recipe: Item, sources: list[str]) -> Fault:
    found = " and ".join(map(word, sources)) or "nothing"
    return Fault("wide", found, f"the width of the {recipe.name}", f'{word("wide")} "20 in"')


def _no_ease(field: str, what: str) -> Fault:
    """A fit or an ease beside a finished size."""
    hint = f'give the body instead: {word("body")} "22 in"' if what == "girth" else ""
    says = f"found {word('fit')} or {word('ease')} beside it, expected neither: {word(field)} is the finished {what}"
    return Fault(field, "a fit or an ease beside it", "neither", hint, says=says)


def _found(field: str, found: str, expected: str, hint: str = "") -> InputError:
    """The error for a word where what was found is said in words of our own."""
    return InputError("", Fault(field, found, expected, hint))


def _with_ease(kit: Kit, recipe: Item, wish: Wish, months: Fraction | None) -> Girth:
    if recipe.body is None:
        raise bad_word("around", None, f"the girth of the {recipe.name} itself")
    wearer = _wearer(kit, wish.wearer) if wish.wearer else None
    if wearer and wearer.age and months is None:
        months = age_months(wearer.age, f"wearer {wearer.name}")
    if wish.size:
        months = size_months(wish.size)
    field, who = ("wearer", f"{wearer.name}, ") if wearer else ("size" if wish.size else "age", "")
    _old_enough(recipe, months, field, who)
    size, sd, notes = _body(recipe.body, wish, wearer, months)
    ease, assumed = _ease(recipe, wish, wearer, size)
    return Girth(size + ease, size, ease, months, (*notes, *assumed), wearer, sd)


def too_young(recipe: Item, months: Fraction | None) -> bool:
    """Whether somebody of that age is too young for an item; of an age that is not known nobody is."""
    return recipe.from_age is not None and months is not None and months < recipe.from_age.value


def _old_enough(recipe: Item, months: Fraction | None, field: str, who: str) -> None:
    """Raises InputError where the item is not for somebody so young."""
    if recipe.from_age and months is not None and too_young(recipe, months):
        found = f"{float(months):g} {'month' if months == 1 else 'months'}"
        why = f"{recipe.from_age.value} months or more for a {recipe.name}: {recipe.from_age.source}"
        raise _found(field, who + found, why)


def _wearer(kit: Kit, name: str) -> Wearer:
    known = {w.name: w for w in kit.wearer}
    if name not in known:
        raise unknown_word("wearer", "wearer", name, known)
    return known[name]


def _body(
    measure: Measure, wish: Wish, wearer: Wearer | None, months: Fraction | None
) -> tuple[int, int | None, tuple[str, ...]]:
    """The body girth in µm, its sd in a table, and what is to be said of it; a wearer's own measurement always wins."""
    if wish.body_um is not None:
        return wish.body_um, None, ()
    own = getattr(wearer, f"{measure}_um") if wearer else None
    if own is not None:
        wrong = odd(measure, own)
        return own, None, (f"look again: {wrong}",) if wrong else ()
    if wearer and months is None:
        raise _found("wearer", f"neither {measure} nor age of {wearer.name}", "one of them")
    sex = wish.sex or (wearer.sex if wearer else None)
    found = body(measure, age_months=None if wish.size else months, size=wish.size, sex=sex)
    return found.um, found.sd_um, (table_note(found, wish, wearer),)


def table_note(found: Body, wish: Wish, wearer: Wearer | None) -> str:
    """What is to be said of a measure that comes from the tables."""
    who = wish.size or wish.age or (f"{wearer.name}, {wearer.age}" if wearer else "")
    size, spread = f"{found.um / 10_000:.1f} cm", f"sd {found.sd_um / 10_000:.1f}"
    note = f"{found.measure.replace('_', ' ')} of {who} taken as {size}, {spread} ({found.source})"
    return note + (f": {found.note}" if found.note else "")


def own_ease(recipe: Item, wish: Wish, wearer: Wearer | None) -> int | None:
    """The ease that a wearer likes on this item, where the ask says neither ease nor fit of its own."""
    if wearer is None or wish.fit or wish.ease_um is not None:
        return None
    return wearer.ease_on(recipe.name, plain=recipe.wears_ease)


def _ease(recipe: Item, wish: Wish, wearer: Wearer | None, size_um: int) -> tuple[int, tuple[str, ...]]:
    if wish.ease_um is not None:
        return wish.ease_um, ()
    if (own := own_ease(recipe, wish, wearer)) is not None and wearer:
        return own, (f"ease {length_text(own, wish.unit)}: as {wearer.name} likes it",)
    fit = wish.fit or (wearer.fit if wearer else None)
    assumed = () if fit else (f"fit taken as {recipe.default_fit}: none was given",)
    fit = fit or recipe.default_fit
    if fit not in recipe.fits:  # a recipe of one's own need not have them all
        raise bad_word("fit", fit, f"a fit that {recipe.name} has: {', '.join(recipe.fits)}")
    return half_up(recipe.fits[fit].value * size_um), assumed

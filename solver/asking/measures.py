"""The lengths that a recipe is made to: what the ask says, and what the wearer measures or the tables say of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import get_args

from catalog import bodyblend
from catalog.body import Measure as BodyMeasure
from catalog.body import body
from catalog.errors import InputError, bad_word, word
from catalog.figure import figure
from catalog.item import Item, Linear, Measure
from catalog.kit import Wearer
from catalog.units import half_up, length_text
from solver.asking.girth import Girth, table_note
from solver.asking.wish import Wish

BODY: tuple[BodyMeasure, ...] = get_args(BodyMeasure)


@dataclass(slots=True)
class Measures:
    """Every measure that is known, µm, and what is to be said of those that nobody measured."""

    um: dict[Measure, int]
    notes: list[str] = field(default_factory=list)

    def known(self, form: Linear) -> bool:
        """Whether all that a form needs is known."""
        return all(name in self.um for name in form)

    def needed(self, form: Linear, recipe: Item) -> Mapping[Measure, int]:
        """The measures for a form. Raises InputError that names the option where one is missing."""
        for name in form:
            if name not in self.um:
                where = name if name in ("wide", "long") else "wearer"
                what = {"wide": "width", "long": "length"}.get(name, name.replace("_", " "))
                body = f"give {word('size')}, {word('age')} or a wearer with it"
                hint = f'{word(where)} "8 in"' if where != "wearer" else body
                raise bad_word(where, None, f"the {what} of the {recipe.name}", hint)
        return self.um


def measures(recipe: Item, wish: Wish, girth: Girth, forms: Iterable[Linear]) -> Measures:
    """What the ask says, and the body measures that `forms` mention: one's own, else by age or size, else a ratio."""
    found = Measures({"around": girth.around_um, "body": girth.body_um or girth.around_um, "mm": 1000})
    set_around(found, girth.around_um)
    if wish.wide_um is not None:
        found.um["wide"] = wish.wide_um
    for name in BODY:
        if any(name in form for form in forms):
            _measure(found, name, recipe, wish, girth)
    return found


def in_words(form: Linear, known: Measures, unit: str) -> str:
    """A length as the sum that it is: "long 40.0 cm + 0.5 × diameter 15.9 cm"."""
    words = ""
    for name, share in form.items():
        sign = (" − " if share.value < 0 else " + ") if words else ("−" if share.value < 0 else "")
        if name == "mm":
            words += f"{sign}{length_text(half_up(abs(share.value) * 1000), unit)} {share.source}".rstrip()
            continue
        times = "" if abs(share.value) == 1 else f"{float(abs(share.value)):g} × "
        words += f"{sign}{times}{name.replace('_', ' ')} {length_text(known.um[name], unit)}"
    return words


def set_around(found: Measures, around_um: int) -> None:
    """Note the finished girth, and the diameter that goes with it."""
    found.um |= {"around": around_um, "diameter": half_up(around_um / figure("pi"))}


def _measure(found: Measures, name: BodyMeasure, recipe: Item, wish: Wish, girth: Girth) -> None:
    """Note one body measure, where it is known: one's own, else by age or size, else a ratio to the body girth."""
    wearer = girth.wearer
    own = getattr(wearer, f"{name}_um") if wearer else None
    base, ratio = _ratio(name)
    by_girth = base is not None and base == recipe.body
    if name == recipe.body and girth.body_um is not None:
        found.um[name] = girth.body_um
    elif own is not None:
        found.um[name] = own
    elif by_girth and name == "heel" and _measured(recipe, wish, wearer):  # a foot's own girth tells more than its age
        _from_girth(found, name, f"{float(ratio):g} × the {base} girth", ratio, wish)
    elif girth.months is not None and (table := _from_table(name, wish, girth)):
        found.um[name], note = table
        found.notes.append(note)
    elif by_girth:
        _from_girth(found, name, f"{float(ratio):g} × the {base} girth", ratio, wish)


def _ratio(name: BodyMeasure) -> tuple[BodyMeasure | None, Fraction]:
    """The girth that a measure is taken from where nobody knows it, and how many times that girth it is."""
    match name:
        case "hand_length":
            return "hand", figure("hand_length_of_girth")
        case "foot_length":
            return "foot", figure("foot_length_of_girth")
        case "heel":
            return "foot", Fraction(str(bodyblend.table("bridges")["bridge"]["heel"]["ratio"]))
    return None, Fraction(0)


def _measured(recipe: Item, wish: Wish, wearer: Wearer | None) -> bool:
    """Whether the body girth is somebody's own and not a table's."""
    own = getattr(wearer, f"{recipe.body}_um") if wearer else None
    return wish.body_um is not None or own is not None


def _from_table(name: BodyMeasure, wish: Wish, girth: Girth) -> tuple[int, str] | None:
    """The measure by age or size, with its note; None where no table reaches."""
    sex = wish.sex or (girth.wearer.sex if girth.wearer else None)
    try:
        row = body(name, age_months=None if wish.size else girth.months, size=wish.size, sex=sex)
    except InputError:
        return None
    return row.um, table_note(row, wish, girth.wearer)


def _from_girth(found: Measures, name: BodyMeasure, words: str, ratio: Fraction, wish: Wish) -> None:
    found.um[name] = half_up(ratio * found.um["body"])
    length = length_text(found.um[name], wish.unit)
    found.notes.append(f"{name.replace('_', ' ')} taken as {length}: {words} (own estimate)")

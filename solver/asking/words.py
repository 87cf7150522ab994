"""Words (a flag's, a form's, a CSV row's, a keyword's) → Wish: each is read, and all that is wrong is told at once."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from os.path import isdir
from pathlib import Path
from typing import TypedDict, TypeVar

from catalog.bodyage import age_months, size_months, size_named
from catalog.errors import Fault, InputError, bad_word, near, nearest, shown, word
from catalog.figure import figure
from catalog.item import BIND_OFFS, Item, item, rib_kind
from catalog.kit import STITCHES
from catalog.shapes import FITS
from catalog.units import half_up, unit_of
from solver.asking.girth import conflicts
from solver.asking.read import (
    ask_chance,
    ask_depths,
    ask_flag,
    ask_length,
    ask_likely,
    ask_number,
    ask_seconds,
    ask_text,
    ask_whole,
    one_of,
)
from solver.asking.wish import DEFAULT_TOP, Wish
from solver.model.ask import Pins

T = TypeVar("T")
Number = int | float | str
LENGTHS = ("around", "body", "wide", "long", "girth_within", "length_within")
WITH_UNIT = ("around", "across", "body", "wide", "long", "ease", "band", "girth_within", "length_within")
UNITS, SEXES, GAUGES = ("in", "cm"), ("female", "male"), ("all", "measured")


class Words(TypedDict, total=False):
    """Every word of an ask but its item, as it may be typed; None is the same as not given."""

    around: str | None
    across: str | None
    body: str | None
    wide: str | None
    long: str | None
    fit: str | None
    ease: str | None
    rib: str | None
    band: str | None
    stitch: str | None
    bind_off: str | None
    wearer: str | None
    size: str | None
    age: str | None
    sex: str | None
    loom: str | None
    yarn: str | None
    pegs: int | str | None
    spacers: int | str | None
    strands: int | str | None
    gauge: str | None
    girth_within: str | None
    length_within: str | None
    sure: Number | None
    yarn_price: Number | None
    risk_weight: Number | None
    units: str | None
    top: int | str | None
    all_pegs: bool | None
    seconds: Number | None
    recipes: Path | str | None


WORDS = tuple(Words.__annotations__)


class Reading:
    """Words read one by one; what is wrong is kept until all are read."""

    def __init__(self, given: Mapping[str, object]) -> None:
        self.given, self.faults = given, list[Fault]()

    def take(self, field: str, read: Callable[[str, object], T]) -> T | None:
        """What one word says, None where it is not given or is wrong."""
        value = self.given.get(field)
        return None if value is None else self.trying(lambda: read(field, value))

    def trying(self, read: Callable[[], T]) -> T | None:
        """What `read` returns, None where it raises faults. An error in a file of the user's is raised as it is."""
        try:
            return read()
        except InputError as error:
            if not error.faults:
                raise
            self.faults += error.faults
            return None

    def done(self) -> None:
        """Raises InputError with every fault that was found."""
        if self.faults:
            raise InputError("", *self.faults)


def wish_of(name: object, words: Mapping[str, object], misplaced: Iterable[object] = ()) -> Wish:
    """The Wish of an item and its words. Raises InputError with a Fault for each word that is wrong."""
    words = {each.replace("-", "_"): value for each, value in words.items()}  # as a repair or a form spells them
    told = Reading(words)
    told.faults += map(_misplaced, misplaced)
    told.faults += [unknown(each, WORDS) for each in words if each not in WORDS]
    recipes = told.take("recipes", _folder)
    wanted = told.trying(lambda: item(ask_text("item", name), recipes).name)
    lengths = {f"{each}_um": told.take(each, ask_length) for each in LENGTHS}
    if (across := told.trying(lambda: _across(told, wanted, recipes))) is not None:
        lengths |= {"across_um": across, "around_um": round_of(across)}
    wish = Wish(
        wanted or "",
        **lengths,
        wearer=told.take("wearer", ask_text),
        size=told.take("size", _size),
        age=told.take("age", _age),
        sex=told.take("sex", one_of(SEXES)),
        fit=told.take("fit", one_of(FITS)),
        ease_um=told.take("ease", lambda field, value: ask_length(field, value, least=-500_000, example="-2 in")),
        rib=told.take("rib", _rib),
        band=told.take("band", ask_depths),
        stitch=told.take("stitch", one_of(STITCHES)) or "u-wrap",
        bind_off=told.take("bind_off", one_of(BIND_OFFS)),
        pins=pins_of(told),
        measured_only=told.take("gauge", one_of(GAUGES)) == "measured",
        sure_ppm=told.take("sure", ask_chance),
        yarn_price=told.take("yarn_price", ask_number),
        risk_weight=told.take("risk_weight", ask_number),
        unit=told.take("units", one_of(UNITS)) or _typed_in(words),
        recipes=recipes,
        top=told.take("top", ask_whole(1, 1000)) or DEFAULT_TOP,
        all_pegs=told.take("all_pegs", ask_flag) or False,
        seconds=told.take("seconds", ask_seconds),
    )
    told.trying(lambda: _likely_body(told, wanted, recipes))
    if wanted is not None:
        recipe = item(wanted, recipes)
        given = {each for each, value in words.items() if value is not None}
        round_ = {"around"} if "across" in given and takes_across(recipe) else set()
        told.faults += conflicts(recipe, given | round_)
    told.done()
    return wish


def pins_of(told: Reading) -> Pins:
    """The choices made for the solver."""
    return Pins(
        told.take("loom", ask_text),
        told.take("yarn", ask_text),
        told.take("pegs", ask_whole(1, 400)),
        told.take("spacers", ask_whole(0, 8)),
        told.take("strands", ask_whole(1, 6)),
    )


def takes_across(recipe: Item) -> bool:
    """Whether people know the size of it by its diameter: what is round and made to no body."""
    return not recipe.flat and recipe.body is None


def _across(told: Reading, name: str | None, recipes: Path | None) -> int | None:
    """The diameter of what is known by it, µm; None where none is given."""
    across = told.take("across", lambda field, value: ask_length(field, value, example="16 cm"))
    if across is None or name is None:
        return None
    recipe = item(name, recipes)
    if not takes_across(recipe):
        instead = word("wide") if recipe.flat else f"{word('around')} or a body"
        says = f"found a diameter, expected {instead}: that of a {name} is no size that one knows it by"
        raise InputError("", Fault("across", "a diameter", instead, says=says))
    if told.given.get("around") is not None:
        raise bad_word("across", told.given["across"], f"one of {word('across')} and {word('around')}")
    return across


def round_of(across_um: int) -> int:
    """The girth of what is so wide across, µm."""
    return half_up(figure("pi") * across_um)


def _likely_body(told: Reading, name: str | None, recipes: Path | None) -> None:
    """Raises InputError for a girth that no body has which the item is made to."""
    body = told.given.get("body")
    if name is None or body is None or any(fault.field == "body" for fault in told.faults):
        return
    measure = item(name, recipes).body
    if measure is not None:
        ask_likely("body", body, measure)


def _misplaced(value: object) -> Fault:
    hint = f'{word("around")} "21 in", or another word before it'
    return Fault("item", f"{shown(value)} after the item", "every further value with its word", hint)


def unknown(field: str, known: Sequence[str]) -> Fault:
    """The fault of a word that nobody knows, with the nearest of `known`."""
    says = f"found a word that has no meaning here: {shown(field)}"
    return Fault(field, shown(field), "a word of an ask", nearest(field, known), near(field, known), says)


def _typed_in(words: Mapping[str, object]) -> str:
    """The unit of the first length that was typed; cm where there is none."""
    typed = [each for field in WITH_UNIT if isinstance(each := words.get(field), str) and each]
    return unit_of(typed[0].split("..")[-1]) if typed else "cm"


def _size(field: str, value: object) -> str:
    text = ask_text(field, value)
    size = size_named(text) or text
    size_months(size)
    return size


def _age(field: str, value: object) -> str:
    age = ask_text(field, value)
    age_months(age)
    return age


def _rib(field: str, value: object) -> str:
    rib = ask_text(field, value)
    rib_kind(rib)
    return rib


def _folder(field: str, value: object) -> Path:
    folder = Path(value) if isinstance(value, str | Path) else None
    if folder is None or not isdir(folder):
        found = str(value) if folder else value
        raise InputError("", Fault(field, shown(found), "a folder with recipes of one's own"))
    return folder

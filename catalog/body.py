"""Bodies by age or size: girths and lengths with their spread, from published tables, each with its source."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

from catalog import bodyblend
from catalog.bodyage import ADULTS, GROWN, OLDEST, SIZES, age_months, size_months
from catalog.errors import Fault, InputError, bad_word, shown, unknown_word, word

__all__ = ["MEASURES", "SEXES", "SIZES", "Body", "Measure", "age_months", "body", "rows", "size_months", "sources"]
Measure = Literal["head", "hand", "hand_length", "foot", "foot_length", "neck", "heel"]
MEASURES: tuple[Measure, ...] = get_args(Measure)
SEXES = ("female", "male")
START = bodyblend.table("bridges")["young"]["tables_start"]


@dataclass(frozen=True, slots=True)
class Body:
    """One girth or length in µm with its standard deviation; `note` says what is a bridge or an estimate, else ""."""

    measure: Measure
    um: int
    sd_um: int
    flag: str
    source: str
    note: str


def body(
    measure: Measure, *, age_months: Fraction | int | None = None, size: str | None = None, sex: str | None = None
) -> Body:
    """The girth or length of a body by age in months or by size; without `sex`, the mean of both.

    µm. Sources: WHO 2006, UK 1990, KiGGS and ANSUR II for heads, Snyder 1977 and ANSUR II for the rest. InputError
    for an unknown measure, size or sex, for both or neither of age and size, and where no table reaches.
    """
    if measure not in MEASURES:
        raise unknown_word("measure", "measure", measure, MEASURES)
    if (age_months is None) == (size is None):
        raise bad_word("age", age_months, f"either an age or a {word('size')}, one of the two")
    months, sexes = _whose(age_months, size, sex)
    if months < START and measure == "neck":
        raise _too_young(measure, months, "age" if size is None else "size")
    curve = bodyblend.head if measure == "head" else lambda each: bodyblend.limb(measure, each)
    um, sd_um = bodyblend.pooled((1 / len(sexes), bodyblend.at(curve(each), float(months))) for each in sexes)
    tables, note = _head_origin(months) if measure == "head" else _limb_origin(measure, months)
    source = "; ".join(bodyblend.table(name)["name"] for name in tables)
    return Body(measure, _half_up(um), _half_up(sd_um), "own" if note else "pub", source, note)


def _whose(months: Fraction | int | None, size: str | None, sex: str | None) -> tuple[Fraction, tuple[str, ...]]:
    if sex is not None and sex not in SEXES:
        raise unknown_word("sex", "sex", sex, SEXES)
    if size is not None:
        months = size_months(size)
        if sex is not None and ADULTS.get(size, sex) != sex:
            raise bad_word("sex", sex, f"{shown(ADULTS[size])} with {word('size')} {size}", f"leave {word('sex')} out")
        sex = ADULTS.get(size, sex)
    if months is None or not 0 <= months <= OLDEST:
        raise bad_word("age", months, "an age from birth to 120 years")
    return Fraction(months), SEXES if sex is None else (sex,)


def _too_young(measure: str, months: Fraction, field: str) -> InputError:
    given = f'{measure} = "…" for the wearer in the kit'
    hint = f"measure and give {given}" if measure == "hand_length" else f"measure and give {word('body')}, or {given}"
    found, tables = f"{float(months):g} months", f"the tables of {measure.replace('_', ' ')} start at {START} months"
    return InputError("", Fault(field, found, f"{START} months or more", hint, says=f"found {found}, but {tables}"))


def _head_origin(months: Fraction) -> tuple[tuple[str, ...], str]:
    """Names of the tables behind a head girth, and what is a blend of our own."""
    join = bodyblend.table("bridges")["head"]
    if months <= join["who_alone_until"]:
        return ("who2006",), ""
    if months >= GROWN:
        return ("ansur2",), ""
    if months < join["who_gone_by"]:
        return ("who2006", "uk1990", "kiggs"), "own blend of three references"
    if months < join["british_gone_by"]:
        return ("uk1990", "kiggs"), "own blend of two references"
    if months == join["british_gone_by"]:
        return ("kiggs",), ""
    return ("kiggs", "ansur2"), "own bridge from 18 years to grown people at 20"


def _limb_origin(measure: str, months: Fraction) -> tuple[tuple[str, ...], str]:
    """Names of the tables behind a hand, foot, heel or neck, and what is a bridge or an estimate of our own."""
    if months >= GROWN:
        return ("ansur2",), ""
    group = bodyblend.published("snyder1977", "foot_length", "male")
    bridged = measure in bodyblend.table("bridges")["bridge"]
    notes = []
    if months < START:
        notes.append(f"own estimate: the tables start at {START} months")
    elif months < group[0].months:
        notes.append("own estimate: carried down from the first group of the table, 24 to 42 months")
    if months > group[-1].months:
        notes.append("own bridge from 18 years to grown people at 20")
    if bridged:
        notes.append(f"own bridge: {measure} girth = {_bridged(measure)}")
    both = bridged or months > group[-1].months
    return ("snyder1977", "ansur2") if both else ("snyder1977",), "; ".join(notes)


def _bridged(measure: str) -> str:
    bridge = bodyblend.table("bridges")["bridge"].get(measure)
    return f"{bridge['ratio']:.2f} × {_bridged(bridge['of'])}" if bridge else measure.replace("_", " ")


def _half_up(um: float) -> int:
    return math.floor(um + 0.5)


def rows(sex: str | None = None) -> list[dict[str, str | int | None]]:
    """Every size as `show bodies` prints it; `None` where no table reaches.

    Keys: size, sex ("" for the mean of both), `<measure>_um`, `<measure>_sd_um`, `<measure>_flag`, source, note.
    """
    return [_row(size, ADULTS.get(size, sex)) for size in SIZES]


def _row(size: str, sex: str | None) -> dict[str, str | int | None]:
    row: dict[str, str | int | None] = {"size": size, "sex": sex or ""}
    sources: list[str] = []
    notes: list[str] = []
    for measure in MEASURES:
        try:
            found = body(measure, size=size, sex=sex)
        except InputError:
            row |= {f"{measure}_um": None, f"{measure}_sd_um": None, f"{measure}_flag": None}
            continue
        row |= {f"{measure}_um": found.um, f"{measure}_sd_um": found.sd_um, f"{measure}_flag": found.flag}
        sources += found.source.split("; ")
        notes += [note for note in found.note.split("; ") if note]
    return row | {"source": "; ".join(dict.fromkeys(sources)), "note": "; ".join(dict.fromkeys(notes))}


def sources() -> list[dict[str, str]]:
    """The tables and bridges behind the bodies: name, flag and full source of each."""
    heads = [bodyblend.table(name) for name in bodyblend.TABLES]
    return [{"name": head["name"], "flag": head["flag"], "source": head["source"]} for head in heads]

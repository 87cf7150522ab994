"""What is typed for a swatch, "17 over 4in" or "30x40", as the entry that the kit keeps, units as typed."""

import re
from collections.abc import Callable, Mapping
from fractions import Fraction

from catalog import units
from catalog.errors import InputError, bad_word, word

KEYS = ("loom", "spacers", "yarn", "strands", "stitch", "stitches", "rows", "mass", "yarn_length", "knitted")
DEFAULTS: dict[str, object] = {"spacers": 0, "strands": 1, "stitch": "u-wrap"}
MOST = 2_000
_REST = re.compile(r"(?P<what>[a-z]*)\.?\s*(?P<join>over|per|in|to|/)\s*(?P<over>[\d.+-].*)", re.IGNORECASE | re.DOTALL)
_BY = re.compile(
    r"\s*(\d{1,6})\s*(?:(st|sts|stitch|stitches)\.?)?\s*(?:x|×|\*|by)\s*(\d{1,6})\s*(?:(r|row|rows)\.?)?\s*",
    re.IGNORECASE,
)
_WORDS = {"stitches": ("st", "sts", "stitch", "stitches"), "rows": ("r", "row", "rows")}


def entry_of(typed: Mapping[str, object]) -> dict[str, object]:
    """The `[[swatch]]` of what was typed, in the kit's order of keys; what was not typed (None) is left out.

    `stitches`, `rows` and `knitted` are texts as for counted and knitted; spacers 0, strands 1 and u-wrap are written
    where not typed, so that the kit says it. Raises InputError.
    """
    readers: dict[str, Callable[[str], object]] = {
        "stitches": counted,
        "rows": lambda text: counted(text, "rows"),
        "mass": mass,
        "yarn_length": yarn_length,
        "knitted": knitted,
    }
    full = {**DEFAULTS, **{key: value for key, value in typed.items() if value is not None}}
    return {key: readers[key](str(full[key])) if key in readers else full[key] for key in KEYS if key in full}


def counted(text: str, field: str = "stitches") -> dict[str, object]:
    """ "17 over 4in" → {"count": 17, "over": "4in"}; a word such as `st` or `rows` may stand after the number.

    `field` is "stitches" or "rows": it names the error, and rows are not taken for stitches. Raises InputError.
    """
    example = "17 over 4in" if field == "stitches" else "21 over 4in"
    expected = f'a count over a length, such as "{example}"'
    try:
        value, rest = units.number(text)
    except units.UnitError:
        raise bad_word(field, text, expected) from None
    found = _REST.fullmatch(rest)
    if not found:
        raise bad_word(field, text, expected)
    words = _WORDS.get(field, ())
    if found["what"] and found["what"].lower() not in words:
        raise bad_word(field, text, expected, f"{word(field)} counts {field}")
    over = found["over"].strip()
    _length(over, field, text, 10_000, 5_000_000)
    return {"count": _count(value, field, text), "over": over}


def knitted(text: str, field: str = "knitted") -> dict[str, object]:
    """ "30x40" → {"stitches": 30, "rows": 40}: the whole sample that was weighed. Raises InputError."""
    found = _BY.fullmatch(text)
    if not found or not all(1 <= int(found[i]) <= MOST for i in (1, 3)):
        raise bad_word(field, text, f'stitches by rows, each 1 to {MOST}, such as "30x40"')
    return {"stitches": int(found[1]), "rows": int(found[3])}


def mass(text: str, field: str = "mass") -> str:
    """A mass as typed, once it reads as one. Raises InputError."""
    try:
        units.mass_mg(text)
    except units.UnitError as error:
        raise _unit(field, text, error) from None
    return text.strip()


def yarn_length(text: str, field: str = "yarn_length") -> str:
    """A length of unravelled yarn as typed, once it reads as one. Raises InputError."""
    _length(text, field, text, 1, units.LONGEST_UM)
    return text.strip()


def _length(text: str, field: str, whole: str, least: int, most: int) -> None:
    try:
        units.length_um(text, least=least, most=most, example="4 in" if most < units.LONGEST_UM else "8 m")
    except units.UnitError as error:
        raise _unit(field, whole, error) from None


def _count(value: Fraction, field: str, text: str) -> int | float:
    """A count that a decimal can hold to a thousandth: 17, 16.5; a third of a stitch is not one."""
    if not 0 < value <= MOST:
        raise bad_word(field, text, f"a count of more than 0 and at most {MOST}")
    if (value * 1000).denominator != 1:
        raise bad_word(field, text, "a count of at most three decimals, such as 16.5")
    return int(value) if value.denominator == 1 else float(value)


def _unit(field: str, text: str, error: units.UnitError) -> InputError:
    return bad_word(field, text.strip()[:60], str(error).removeprefix("expected "), error.hint)

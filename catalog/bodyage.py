"""Ages and sizes as people say them: "18 months", "2 1/2 years", `adult-woman`."""

import re
from fractions import Fraction

from catalog.bodyblend import table
from catalog.errors import InputError, Problem, bad_word, unknown_word, word

GROWN = Fraction(table("bridges")["head"]["grown_at"])
OLDEST = Fraction(120 * 12)

_AGES = {"newborn": Fraction(0)}
_AGES |= {f"{months}-months": Fraction(months) for months in (3, 6, 12, 18)}
_AGES |= {f"{years}-years": Fraction(years * 12) for years in range(2, 17)}
ADULTS = {"adult-woman": "female", "adult-man": "male"}
SIZES: tuple[str, ...] = (*_AGES, *ADULTS)

_DAYS_PER_MONTH = Fraction(487, 16)  # 365.25 / 12
_UNITS = {"d": 1 / _DAYS_PER_MONTH, "w": 7 / _DAYS_PER_MONTH, "m": Fraction(1), "y": Fraction(12)}
_PARTS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
_NUMBER = r"(?:(?:(?P<whole>\d+)\s+)?(?P<over>\d+)\s*/\s*(?P<under>\d+)|(?P<plain>\d+(?:\.\d+)?))"
_UNIT = r"(?P<unit>days?|d|weeks?|wks?|w|months?|mos?|m|years?|yrs?|y)"
_PART = re.compile(rf"\s*{_NUMBER}\s*-?\s*{_UNIT}(?![a-z])\.?\s*(?:and\b|,)?", re.IGNORECASE)


def age_months(text: str, source: str = "") -> Fraction:
    """An age in months: "18 months", "2 1/2 years", "9 yr", "6 weeks", "1 year 3 months", "newborn".

    A month is 365.25 / 12 days. InputError where a number or its unit is missing, or past 120 years, naming the
    `source` the age was written in, else the word "age".
    """
    left = re.sub(r"[\s-]+old$", "", text.strip().lower())
    if left == "newborn":
        return Fraction(0)
    for sign, part in _PARTS.items():
        left = left.replace(sign, part)
    left, total = left.strip(), Fraction(0)
    while left:
        match = _PART.match(left)
        if match is None or (match["under"] is not None and int(match["under"]) == 0):
            raise _bad_age(text, source)
        total += _number(match) * _UNITS[match["unit"][0].lower()]
        left = left[match.end() :].strip()
    if not text.strip() or total > OLDEST:
        raise _bad_age(text, source)
    return total


def _number(match: re.Match[str]) -> Fraction:
    if match["plain"] is not None:
        return Fraction(match["plain"])
    return Fraction(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))


def _bad_age(text: str, source: str) -> InputError:
    bare = re.fullmatch(r"\s*\d+(\.\d+)?\s*", text)
    years = f'say which: "{text.strip()} months" or "{text.strip()} years"'
    expected = 'an age with its unit, such as "18 months" or "7 years", up to 120 years'
    error = bad_word("age", text, expected, years if bare else f"or {word('size')} adult-woman, adult-man")
    return InputError(source, Problem("", error.faults[0].problem, error.faults[0].hint)) if source else error


def size_named(text: str) -> str | None:
    """The size that is meant, in any case and with blanks for hyphens: "Adult woman", "6 Years"; None for no size."""
    spelt = "-".join(text.casefold().replace("-", " ").replace("_", " ").split())
    return spelt if spelt in SIZES else None


def size_months(size: str) -> Fraction:
    """The age that a size stands for, in months; grown sizes count as 240. InputError for an unknown size."""
    if size in ADULTS:
        return GROWN
    if size not in _AGES:
        raise unknown_word("size", "size", size, SIZES)
    return _AGES[size]

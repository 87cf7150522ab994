"""One typed value in, what it says out; an InputError with one Fault where it says nothing that is asked."""

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from math import isfinite

from catalog.errors import Fault, InputError, bad_word, near, nearest, shown, word
from catalog.plausible import odd_text
from catalog.swatchtext import counted
from catalog.units import UnitError, length_um, number
from solver.gauging.chance import CHANCE, chance_ppm

MOST_TEXT = 200
LONGEST_UM = 5_000_000  # 5 m: no piece and no body is longer
PLAIN = re.compile(
    r"\s*(\d{1,12}(\.\d{0,12})?|\.\d{1,12})(e[+-]?\d{1,2})?\s*|\s*\d{1,9}\s*/\s*[1-9]\d{0,8}\s*", re.IGNORECASE
)
WHOLE = re.compile(r"\s*[+-]?\d{1,9}\s*", re.ASCII)


def ask_text(field: str, value: object) -> str:
    """A name, as it stands."""
    if not isinstance(value, str):
        raise bad_word(field, value, "text")
    if len(value) > MOST_TEXT:
        raise bad_word(field, value, f"at most {MOST_TEXT} letters")
    return value


def ask_length(field: str, value: object, *, least: int = 1, example: str = "21 in") -> int:
    """A length in µm, up to 5 m."""
    try:
        return length_um(value, least=least, most=LONGEST_UM, example=example)
    except UnitError as error:
        raise bad_word(field, value, str(error).removeprefix("expected "), error.hint) from None


def ask_likely(field: str, value: object, measure: str) -> None:
    """Raises InputError for a girth that nobody's `measure` has: it asks what was meant, and obeys nothing."""
    wrong = odd_text(measure, str(value))
    if wrong:
        girth = f"else give the finished girth: {word('around')}"
        raise InputError("", Fault(field, shown(value), f"somebody's {measure}", girth, says=f"found a {wrong}"))


def ask_depths(field: str, value: object) -> tuple[int, int | None]:
    """A depth, or a span "1in..2in" (a first end without a unit takes the second's), in µm."""
    low, dots, high = value.partition("..") if isinstance(value, str) else ("", "", "")
    if not dots:
        return ask_length(field, value), None
    try:
        low = low if number(low)[1] else low + number(high)[1]
    except UnitError:
        raise bad_word(field, value, 'a depth such as "2 in", or a span such as "1in..2in"') from None
    least, most = ask_length(field, low, least=0), ask_length(field, high)
    if least > most:
        raise bad_word(field, value, "a span whose first depth is not the deeper one")
    return least, most


def one_of(known: Sequence[str]) -> Callable[[str, object], str]:
    """A reader of one of a few words."""

    def read(field: str, value: object) -> str:
        text = value if isinstance(value, str) else ""
        if text not in known:
            raise bad_word(field, value, "one of " + ", ".join(known), nearest(text, known), near(text, known))
        return text

    return read


def ask_whole(least: int, most: int) -> Callable[[str, object], int]:
    """A reader of whole numbers from `least` to `most`, 40 or "40"."""

    def read(field: str, value: object) -> int:
        whole = int(value) if isinstance(value, str) and WHOLE.fullmatch(value) else value
        if not isinstance(whole, int) or isinstance(whole, bool) or not least <= whole <= most:
            raise bad_word(field, value, f"a whole number from {least} to {most}")
        return whole

    return read


def ask_chance(field: str, value: object) -> int:
    """A chance in ppm: 0.8 or "80%"."""
    text = _typed(value)
    if not text:
        raise bad_word(field, value, CHANCE)
    return chance_ppm(field, text)


def ask_number(field: str, value: object) -> Fraction:
    """A plain number, 0 to 100, exactly as it is written."""
    text = _typed(value)
    if not PLAIN.fullmatch(text):
        raise bad_word(field, value, "a plain number, such as 0.1")
    found = Fraction(text)
    if not 0 <= found <= 100 or found.denominator > 10_000:
        raise bad_word(field, value, "a number from 0 to 100 with at most four decimals")
    return found


def ask_seconds(field: str, value: object) -> float:
    """Seconds, 0 or more."""
    text = _typed(value)
    if not PLAIN.fullmatch(text) or not isfinite(seconds := float(Fraction(text))):
        raise bad_word(field, value, "a number of seconds, 0 or more")
    return seconds


def ask_counts(field: str, value: object) -> list[dict[str, object]]:
    """One count such as "17 over 4 in", or a list of them, of `stitches` or `rows`."""
    texts = value if isinstance(value, list | tuple) else [value]
    if not texts:
        raise bad_word(field, None, "a count")
    return [counted(ask_text(field, text), field) for text in texts]


def ask_flag(field: str, value: object) -> bool:
    """Yes or no: true, or the words of a form and a table."""
    said = {"true": True, "yes": True, "on": True, "1": True, "false": False, "no": False, "off": False, "0": False}
    if isinstance(value, bool):
        return value
    if not isinstance(value, str) or value.strip().lower() not in said:
        raise bad_word(field, value, "yes or no")
    return said[value.strip().lower()]


def _typed(value: object) -> str:
    """A number as it would be typed; "" for what is neither text nor number."""
    plain = isinstance(value, int | float | Fraction) and not isinstance(value, bool)
    try:
        return value if isinstance(value, str) else str(value) if plain else ""
    except ValueError:  # more digits than Python spells out
        return ""

"""The only door to pint: "22 in" or "110 tex" in, whole micrometres and millitex out, and back into words."""

import re
import unicodedata
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from catalog.errors import shown
from catalog.spelling import IMPERIAL, nearest_unit, unit_spelt

if TYPE_CHECKING:
    import pint

DEFINITIONS = (
    Path(__file__).parent / "units.txt"
)  # only what people type: pint's own list takes 30 times as long to read
IN_UM, CM_UM, M_UM = 25_400, 10_000, 1_000_000
LONGEST_UM = 100_000_000_000  # 100 km: more yarn than anyone owns, and safe in 64 bits

_NUMBER = re.compile(
    r"\s*(?P<whole>\d{1,12})\s+(?P<n>\d{1,6})\s*/\s*(?P<d>\d{1,6})|\s*(?P<n2>\d{1,6})\s*/\s*(?P<d2>\d{1,6})"
    r"|\s*(?P<plain>[+-]?(?:\d{1,18}(?:\.\d{0,18})?|\.\d{1,18}))(?![\d.])"
)
_KNOWN = {
    "micrometer": ("mm", "cm", "m", "in", "inch", "ft", "yd"),
    "milligram": ("g", "kg", "oz", "lb"),
}  # the units a hint offers
_VULGAR = re.compile("[\u00bc-\u00be\u2150-\u215e]")  # ¼ ½ ¾ ⅓ …: one sign for a whole fraction


class UnitError(ValueError):
    """A quantity that cannot be read; the message says what was expected, `hint` what to type."""

    def __init__(self, message: str, hint: str = "") -> None:
        self.hint = hint
        super().__init__(message)


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[Any]":
    import pint

    return pint.UnitRegistry(str(DEFINITIONS), non_int_type=Fraction)


@lru_cache(maxsize=256)
def _factor(unit: str, to: str) -> Fraction | None:
    """How many `to` one `unit` is, both as units.txt has them; None where the dimensions differ."""
    import pint

    try:
        return Fraction(_registry().Quantity(Fraction(1), unit).to(to).magnitude)
    except pint.DimensionalityError:
        return None


def half_up(value: Fraction | float | int) -> int:
    """The nearest whole number, halves upwards: how every length in the project is rounded."""
    exact = Fraction(value)
    return (2 * exact.numerator + exact.denominator) // (2 * exact.denominator)


def share(whole: int, ppm: int) -> int:
    """`ppm` millionths of a whole number, rounded half up."""
    return (2 * whole * ppm + 1_000_000) // 2_000_000


def number(text: str) -> tuple[Fraction, str]:
    """The number at the head of a text and the rest: "8 1/2 in" and "8½ in" → (17/2, "in")."""
    text = _VULGAR.sub(_spread_out, text)
    found = _NUMBER.match(text)
    if not found:
        raise UnitError("expected a number with its unit")
    part = found.groupdict()
    if "0" in {str(int(part[d])) for d in ("d", "d2") if part[d]}:
        raise UnitError("expected a fraction whose lower number is not 0")
    if part["plain"]:
        value = Fraction(part["plain"] if part["plain"][-1] != "." else part["plain"][:-1])
    else:
        value = Fraction(int(part["whole"] or 0)) + Fraction(int(part["n"] or part["n2"]), int(part["d"] or part["d2"]))
    return value, text[found.end() :].strip()


def _spread_out(sign: re.Match[str]) -> str:
    """ "½" as " 1/2 "."""
    return f" {unicodedata.normalize('NFKC', sign[0]).replace('⁄', '/')} "


def _quantity(text: object, to: str, what: str, example: str) -> Fraction:
    expected = f'expected {what} with its unit, such as "{example}"'
    if not isinstance(text, str):
        hint = (
            f'a bare number has no unit: write "{text} {example.split()[-1]}"' if isinstance(text, int | float) else ""
        )
        raise UnitError(expected, hint if not isinstance(text, bool) else "")
    try:
        value, unit = number(text)
    except UnitError as error:
        raise UnitError(expected if "fraction" not in str(error) else str(error)) from None
    if comma := re.match(r"(\d+),(\d+)\s*(.*)", text.strip()):
        raise UnitError(expected, f'write the decimal with a point: "{comma[1]}.{comma[2]} {comma[3]}"')
    if not unit:
        raise UnitError(expected, f'a bare number has no unit: write "{text.strip()} {example.split()[-1]}"')
    spelt = unit_spelt(unit)
    if spelt is None:
        raise UnitError(
            f"expected a unit that is known here, not {shown(unit)}", nearest_unit(unit, _KNOWN.get(to, ()))
        )
    factor = _factor(spelt, to)
    if factor is None:
        raise UnitError(f"{expected}; {shown(unit)} measures something else")
    return value * factor


def length_um(text: object, *, least: int = 1, most: int = LONGEST_UM, example: str = "21 in") -> int:
    """A length as whole micrometres, halves upwards. Raises UnitError outside least…most or without a unit."""
    value = half_up(_quantity(text, "micrometer", "a length", example))
    if not least <= value <= most:
        bound = "more than 0" if value < least and least == 1 else f"{plain_mm(least)} to {plain_mm(most)} mm"
        raise UnitError(f"expected a length of {bound}")
    return value


def mass_mg(text: object) -> int:
    """A mass as whole milligrams, more than 0 and at most 1000 kg."""
    value = half_up(_quantity(text, "milligram", "a mass", "100 g"))
    if not 0 < value <= 10**9:
        raise UnitError("expected a mass of more than 0 and at most 1000 kg")
    return value


def density_mg_cm3(text: object) -> int:
    """A fibre density as whole mg/cm³, 0.1 to 20 g/cm³."""
    value = half_up(_quantity(text, "milligram / centimeter ** 3", "a density", "1.31 g/cm^3"))
    if not 100 <= value <= 20_000:
        raise UnitError("expected a density of 0.1 to 20 g/cm^3")
    return value


def mtex_of_label(mass: int, length: int) -> int:
    """Millitex of a ball of `mass` mg and `length` µm (tex = g per km)."""
    return half_up(Fraction(mass * 10**9, length))


def unit_of(text: str) -> str:
    """The unit family a length was typed in, "in" or "cm": how lengths are printed back."""
    try:
        unit = number(text)[1]
    except UnitError:
        return "cm"
    return "in" if unit_spelt(unit) in IMPERIAL else "cm"


def plain_mm(um: int) -> str:
    """Micrometres as millimetres without idle zeros: 9500 → "9.5"."""
    return f"{um / 1000:.3f}".rstrip("0").rstrip(".")


def length_text(um: int, unit: str, *, places: int = 1) -> str:
    """A length in words, "21.3 in" or "54.0 cm", rounded half up to `places` decimals."""
    sign, per = ("-" if um < 0 else ""), (IN_UM if unit == "in" else CM_UM)
    tenths = half_up(Fraction(abs(um) * 10**places, per))
    number_ = f"{tenths // 10**places}" + (f".{tenths % 10**places:0{places}d}" if places else "")
    return f"{sign if tenths else ''}{number_} {unit}"


def yarn_text(um: int, unit: str) -> str:
    """A length of yarn in whole yards or metres, rounded half up."""
    return f"{half_up(Fraction(um, 914_400))} yd" if unit == "in" else f"{half_up(Fraction(um, M_UM))} m"

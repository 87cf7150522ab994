"""Units are a list of spellings: every one reads, everything else is refused at once and never computed."""

import time
from fractions import Fraction

import pint
import pytest

from catalog import spelling, units
from catalog.errors import shown
from catalog.item import rib_kind

PINT = pint.UnitRegistry(non_int_type=Fraction)
AS_PINT = {"g/cm**3": "gram/centimeter**3", "mi": "mile"}


@pytest.mark.parametrize(
    ("text", "um"),
    [
        ("21½ in", 546_100), ("21½\"", 546_100), ("21½”", 546_100), ("½ in", 12_700), ("8 ¾ in", 222_250),
        ("21 in.", 533_400), ("21 IN", 533_400), ("21 Inches", 533_400), ("53 CM", 530_000), ("530 Mm", 530_000),
        ("1⅛ in", 28_575), ("3′", 914_400),
    ],
)  # fmt: skip
def test_lengths_as_they_are_written_by_hand(text: str, um: int) -> None:
    """Vulgar fractions, a full stop, capitals: 21½ in is 21.5 × 25.4 mm."""
    assert units.length_um(text) == um


@pytest.mark.parametrize(
    "text",
    ["1 in*9**9**9", "1 in#x", "5 in**1", "1 in in", "1 (in)", "1 2*in", "5 in^1", "1 __import__", "2.5½ in", "1/½ in",
     "1½½ in", "1 delta_in", "1 kiloin", "1 " + "in*" * 100_000, "9" * 5_000 + " in", "1/" + "9" * 5_000 + " in"],
)  # fmt: skip
def test_an_expression_is_no_unit(text: str) -> None:
    """Refused within a tenth of a second, as bad input: the first of them once ran for ever."""
    began = time.monotonic()
    with pytest.raises(units.UnitError, match="expected"):
        units.length_um(text)
    assert time.monotonic() - began < 0.1


@pytest.mark.parametrize("kind", [spelling.LENGTHS, spelling.MASSES, spelling.LINEAR_DENSITIES, spelling.DENSITIES])
def test_every_unit_is_the_one_of_the_outside(kind: dict[str, tuple[str, ...]]) -> None:
    """Each listed unit reads here, and is worth what pint's own definitions say."""
    to = {"um": "micrometer", "mg": "milligram", "tex": "millitex", "g/cm**3": "milligram / centimeter ** 3"}
    base = to[next(iter(kind))]
    for unit, words in kind.items():
        theirs = PINT.Quantity(Fraction(1), AS_PINT.get(unit, unit)).to(base).magnitude
        assert units._factor(unit, base) == theirs, unit
        assert {spelling.unit_spelt(word) for word in words} == {unit}


def test_no_spelling_stands_for_two_units() -> None:
    """A spelling in two lists would be read by the order of the lists."""
    kinds = (spelling.LENGTHS, spelling.MASSES, spelling.LINEAR_DENSITIES, spelling.DENSITIES)
    words = [word for kind in kinds for spelt in kind.values() for word in spelt]
    assert len(words) == len(set(words))


def test_lengths_print_back_as_they_were_typed() -> None:
    """Inches in any spelling ask for inches."""
    assert [units.unit_of(t) for t in ("21½ in.", '21"', "21 FEET", "21 cm", "21", "x")] == ["in"] * 3 + ["cm"] * 3


def test_a_decimal_comma_is_named() -> None:
    """21,5 cm is what much of the world writes."""
    with pytest.raises(units.UnitError) as caught:
        units.length_um("21,5 cm")
    assert caught.value.hint == 'write the decimal with a point: "21.5 cm"'


def test_ribs_are_read_with_blanks() -> None:
    """ "2 x 2" and "1 × 1" are ribs."""
    assert [rib_kind(text).rib for text in ("2x2", "2 x 2", "2 X 2", "1 × 1")] == ["2x2", "2x2", "2x2", "1x1"]


def test_what_is_shown_back_steers_no_terminal() -> None:
    """Escape sequences and line ends are spelt out; numbers too long to print are not printed."""
    assert shown("a\x1b[31mb\nc") == '"a\\x1b[31mb\\nc"'
    assert shown(int("f" * 9_000, 16)) == "a number of more than 60 digits"

"""Ages and sizes in the words that people use."""

from fractions import Fraction

import pytest

from catalog.body import SIZES, age_months, body, size_months
from catalog.errors import InputError


@pytest.mark.parametrize(
    ("text", "months"),
    [
        ("18 months", 18),
        ("7 years", 84),
        ("2 1/2 years", 30),
        ("2½ years", 30),
        ("2.5 years", 30),
        ("9 yr", 108),
        ("3 mo", 3),
        ("1y6m", 18),
        ("1 year and 3 months", 15),
        ("7-year-old", 84),
        ("NEWBORN", 0),
        ("6 weeks", Fraction(672, 487)),  # 42 days of 365.25 / 12 to the month
    ],
)
def test_ages_as_people_say_them(text: str, months: Fraction | int) -> None:
    """No source: the arithmetic of the calendar."""
    assert age_months(text) == months


@pytest.mark.parametrize("text", ["", "7", "old", "7 inches", "-3 months", "121 years", "1/0 years", "3 months 7"])
def test_ages_nobody_can_read_are_errors(text: str) -> None:
    """A bare number asks for its unit, and nothing is guessed."""
    with pytest.raises(InputError, match="expected an age with its unit"):
        age_months(text)


def test_a_bare_age_asks_months_or_years() -> None:
    """The hint is what to type."""
    with pytest.raises(InputError, match='hint: say which: "7 months" or "7 years"'):
        age_months("7")


def test_sizes_are_ages_by_another_name() -> None:
    """No source: a size is its age, and a grown size brings its sex."""
    assert body("head", size="18-months") == body("head", age_months=age_months("18 months"))
    assert body("foot", size="adult-woman") == body("foot", age_months=size_months("adult-woman"), sex="female")
    assert [size_months(size) for size in SIZES] == sorted(size_months(size) for size in SIZES)

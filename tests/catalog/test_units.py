"""Units against the outside: pint's textile units, the inch of 1959, and what people type."""

from fractions import Fraction

import pint
import pytest

from catalog import units
from catalog.yarn import classes_at, table

REGISTRY = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "um"),
    [
        ("21 in", 533_400), ("21in", 533_400), ('21"', 533_400), ("8 1/2 in", 215_900), ("1/2 in", 12_700),
        ("53 cm", 530_000), ("530mm", 530_000), ("0.5 m", 500_000), ("1 yd", 914_400), ("1 ft", 304_800),
        (".5 in", 12_700), ("21 inches", 533_400), ("0.0005 mm", 1), ("0.0000254 mm", 0),
    ],
)  # fmt: skip
def test_lengths_as_people_type_them(text: str, um: int) -> None:
    """An inch is 25.4 mm exactly (international yard and pound agreement, 1959); halves round up."""
    if um:
        assert units.length_um(text) == um
    else:
        with pytest.raises(units.UnitError):
            units.length_um(text)


@pytest.mark.parametrize(
    "text", ["21", 21, 21.5, True, None, "in", "", "twenty in", "21 kg", "21 parsnips", "-3 in", "nan in", "inf in",
             "1e999 in", "0 in", "1/0 in", "21 in 3", "9" * 19 + " in", "999999999 km", "21,5 cm", "3 in**99",
             "1..2 in"],
)  # fmt: skip
def test_what_is_no_length_is_an_error_in_words(text: object) -> None:
    """No unit, wrong dimension, no number, not finite, out of bounds: a UnitError that says what was expected."""
    with pytest.raises(units.UnitError, match="expected"):
        units.length_um(text)


def test_tex_metres_per_ball_and_denier_agree_with_pint() -> None:
    """tex = g per 1000 m; 1 tex = 9 denier: pint's own textile units (ISO 1144 / ASTM D861 as pint has them)."""
    assert REGISTRY.Quantity(500, "tex").to("denier").magnitude == pytest.approx(4500)
    assert units.mtex_of_label(100_000, 200_000_000) == 500_000  # 100 g over 200 m
    per_100_g = REGISTRY.Quantity(500, "tex").to("g/m").magnitude
    assert 100 / per_100_g == pytest.approx(200)


@pytest.mark.parametrize(
    ("unit", "to"),
    [("in", "mm"), ("inch", "mm"), ("ft", "mm"), ("yd", "mm"), ("mile", "m"), ("cm", "mm"), ("um", "mm"), ("µm", "mm"),
     ("dm", "mm"), ("km", "m"), ("metre", "cm"), ("yards", "m"), ("g", "mg"), ("kg", "g"), ("oz", "g"), ("lb", "g"),
     ("tex", "g/m"), ("dtex", "tex"), ("denier", "tex"), ("g/cm^3", "kg/m^3"), ("g/ml", "kg/m^3")],
)  # fmt: skip
def test_our_units_are_pints(unit: str, to: str) -> None:
    """Every unit of catalog/units.txt equals the one in the definitions that pint itself ships."""
    ours = pint.UnitRegistry(str(units.DEFINITIONS), non_int_type=Fraction)
    theirs = pint.UnitRegistry(non_int_type=Fraction)
    assert ours.Quantity(Fraction(1), unit).to(to).magnitude == theirs.Quantity(Fraction(1), unit).to(to).magnitude


def test_halves_round_up_and_shares_agree_with_fractions() -> None:
    """The one rounding of the project."""
    assert [units.half_up(Fraction(n, 2)) for n in (-3, -1, 1, 3)] == [-1, 0, 1, 2]
    for whole in (-7, 3, 533_400):
        for ppm in (1, 80_000, 1_100_000):
            assert units.share(whole, ppm) == units.half_up(Fraction(whole * ppm, 1_000_000))


def test_lengths_print_in_the_unit_asked() -> None:
    """21 in stays 21.0 in; 18 stitches over 4 in are 17.72 over 10 cm, because 4 in are 10.16 cm."""
    assert units.length_text(533_400, "in") == "21.0 in"
    assert units.length_text(-1_270, "in") == "-0.1 in"
    assert units.length_text(-100, "cm") == "0.0 cm"
    assert units.yarn_text(914_400_000, "in") == "1000 yd"
    assert round(18 * 100_000 / units.length_um("4 in"), 2) == 17.72


def test_yarn_classes_are_those_of_the_published_table() -> None:
    """Standard Yarn Weight System (published): plain stitches per 4 in; 2 and 3 overlap, 15.5 falls in none."""
    published = {1: (27, 32), 2: (23, 26), 3: (21, 24), 4: (16, 20), 5: (12, 15), 6: (7, 11)}
    assert {k: table().classes[str(k)].stitches for k in published} == published
    assert classes_at(23.5) == [2, 3]
    assert classes_at(15.5) == []
    assert classes_at(18) == [4]

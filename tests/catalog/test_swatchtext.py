"""What people type for a swatch, and what the kit then keeps of it."""

import tomllib
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import InputError
from catalog.kit import load_kit
from catalog.kitfile import add_swatch, new_kit
from catalog.swatchtext import counted, entry_of, knitted, mass, yarn_length


@pytest.mark.parametrize(
    ("text", "count", "over"),
    [
        ("17 over 4in", 17, "4in"),
        ("17 st over 4 in", 17, "4 in"),
        ("17 sts. / 4 in", 17, "4 in"),
        ("  16.5 stitches per 10 cm ", 16.5, "10 cm"),
        ("16 1/2 stitch in 4 in", 16.5, "4 in"),
        ("17over4in", 17, "4in"),
        ('17 OVER 4"', 17, '4"'),
        ("17 to 4 in", 17, "4 in"),
        ("9 over 2 1/2 in", 9, "2 1/2 in"),
        ("16.125 over 100mm", 16.125, "100mm"),
    ],
)
def test_a_count_over_a_length(text: str, count: float, over: str) -> None:
    """The number and, untouched, the length; what stands between may be said in several ways."""
    assert counted(text) == {"count": count, "over": over}


def test_a_whole_count_stays_whole() -> None:
    """17 is written as 17, not as 17.0."""
    assert repr(counted("17 over 4in")["count"]) == "17"
    assert repr(counted("17.0 over 4in")["count"]) == "17"


@pytest.mark.parametrize("text", ["21 rows over 4 in", "21 r / 4in", "21 row over 4in", "21 over 4in"])
def test_rows_are_counted_in_rows(text: str) -> None:
    """The same for rows, with its own words."""
    assert counted(text, "rows")["count"] == 21


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", 'found "", expected a count over a length, such as "17 over 4in"'),
        ("17", 'found "17", expected a count over a length'),
        ("17 4in", "expected a count over a length"),
        ("over 4in", "expected a count over a length"),
        ("17 over", "expected a count over a length"),
        ("17 over over 4in", "expected a count over a length"),
        ("17 rows over 4in", "hint: stitches counts stitches"),
        ("17 goats over 4in", "hint: stitches counts stitches"),
        ("17 over 4", 'hint: a bare number has no unit: write "4 in"'),
        ("17 over 4 kg", 'found "17 over 4 kg", expected a length with its unit'),
        ("17 over 4 ihch", 'hint: did you mean "inch"?'),
        ("17 over 9 mm", "expected a length of 10 to 5000 mm"),
        ("17 over 6 m", "expected a length of 10 to 5000 mm"),
        ("0 over 4in", "a count of more than 0 and at most 2000"),
        ("-3 over 4in", "a count of more than 0 and at most 2000"),
        ("2001 over 4in", "a count of more than 0 and at most 2000"),
        ("16 1/3 over 4in", "a count of at most three decimals, such as 16.5"),
        ("1/0 over 4in", "expected a count over a length"),
        ("1e3 over 4in", "expected a count over a length"),
    ],
)
def test_what_is_no_count(text: str, message: str) -> None:
    """The error names the option, what was found, what was expected."""
    with pytest.raises(InputError) as caught:
        counted(text)
    assert str(caught.value).startswith("stitches: found ")
    assert message in str(caught.value)


def test_stitches_are_not_rows() -> None:
    """A swapped pair of options is told, not kept."""
    with pytest.raises(InputError, match=r'rows: found "17 st over 4in"[^\n]*\n  hint: rows counts rows'):
        counted("17 st over 4in", "rows")


@pytest.mark.parametrize(
    "text", ["30x40", "30 x 40", "30×40", "30 st x 40 rows", "30 by 40", "30*40", "30 sts. X 40 r."]
)
def test_stitches_by_rows(text: str) -> None:
    """The whole sample, in the ways it is written."""
    assert knitted(text) == {"stitches": 30, "rows": 40}


@pytest.mark.parametrize(
    "text", ["", "30", "30x", "x40", "30x40x2", "0x40", "30x0", "2001x1", "30.5x40", "-3x4", "30 40"]
)
def test_what_is_no_sample(text: str) -> None:
    """Whole numbers, each 1 to 2000."""
    with pytest.raises(InputError, match=r'knitted: found ".*", expected stitches by rows, each 1 to 2000'):
        knitted(text)


def test_mass_and_unravelled_yarn_stay_as_typed() -> None:
    """Checked, then kept in the user's own unit."""
    assert (mass(" 9 g"), yarn_length("8.5yd ")) == ("9 g", "8.5yd")
    with pytest.raises(InputError, match=r'mass: found "9", expected a mass with its unit, such as "100 g"'):
        mass("9")
    with pytest.raises(InputError, match=r'yarn length: found "9 g", expected a length'):
        yarn_length("9 g")


def test_the_entry_in_the_kits_order() -> None:
    """What was not typed is left out, or written where the kit would assume it."""
    typed = {"rows": "21 over 4in", "mass": None, "stitches": "17 over 4in", "yarn": "moss wool", "loom": "porch ring"}
    assert list(entry_of(typed).items()) == [
        ("loom", "porch ring"),
        ("spacers", 0),
        ("yarn", "moss wool"),
        ("strands", 1),
        ("stitch", "u-wrap"),
        ("stitches", {"count": 17, "over": "4in"}),
        ("rows", {"count": 21, "over": "4in"}),
    ]


def test_from_typing_to_the_file_and_back(tmp_path: Path) -> None:
    """What is typed stands in the file as typed, and reads as whole micrometres and milligrams."""
    path = tmp_path / "kit.toml"
    new_kit(path)
    typed: dict[str, object] = {"loom": "long rake", "yarn": "kettle chunky", "strands": 2, "stitch": "e-wrap"}
    typed |= {"stitches": '16 1/2 st over 4"', "rows": "10.25 rows / 10 cm", "mass": "1.5 oz", "knitted": "30 x 40"}
    add_swatch(path, entry_of(typed))
    assert tomllib.loads(path.read_text(encoding="utf-8"))["swatch"][-1] == {
        "loom": "long rake",
        "spacers": 0,
        "yarn": "kettle chunky",
        "strands": 2,
        "stitch": "e-wrap",
        "stitches": {"count": 16.5, "over": '4"'},
        "rows": {"count": 10.25, "over": "10 cm"},
        "mass": "1.5 oz",
        "knitted": {"stitches": 30, "rows": 40},
    }
    swatch = load_kit(path).swatch[-1]
    assert swatch.stitches.each_um * 33 == 203_200  # 4 in is 101 600 µm by the definition of the inch
    assert swatch.rows.each_um * 41 == 400_000
    assert swatch.mass_mg == 42_524  # the international avoirdupois ounce, 28.349523125 g


@given(st.integers(1, 2_000_000), st.sampled_from([" over ", "over", " st over ", " sts / ", " per "]))
def test_every_thousandth_is_kept(thousandths: int, join: str) -> None:
    """No decimal count is bent on its way into the file."""
    text = f"{thousandths // 1000}.{thousandths % 1000:03d}"
    kept = counted(f"{text}{join}4 in")["count"]
    assert round(float(str(kept)) * 1000) == thousandths
    assert len(str(kept)) <= len(text)


@given(st.text(max_size=30))
def test_no_text_gives_more_than_an_input_error(text: str) -> None:
    """Any text at all is read or refused in words."""
    for read in (counted, knitted, mass, yarn_length):
        with suppress(InputError):
            read(text)

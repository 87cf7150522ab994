"""Words as people write them: names in any case, sizes by age, a diameter, signs for fractions, units with a point."""

from fractions import Fraction
from pathlib import Path

import pytest

from catalog.body import body
from catalog.errors import InputError
from solver import load_kit, sizes, wish
from tests.command import pegwright

KIT = load_kit()
PI = Fraction(31_415_926_536, 10_000_000_000)
RING = """\
[[loom]]
name = "Sill Ring"
build = "ring"
pitch = "9.5 mm"
peg_diameter = "3 mm"
pegs = 80

[[yarn]]
name = "reed wool"
weight = 4
length_per_ball = "200 m"
mass_per_ball = "100 g"
fibre = "wool"

[[wearer]]
name = "The Ferryman"
head = "58 cm"
"""


@pytest.fixture
def here(tmp_path: Path) -> Path:
    (tmp_path / "kit.toml").write_text(RING)
    return tmp_path


def test_names_in_any_case(here: Path) -> None:
    """Item, loom, yarn, wearer and size as somebody types them are the kit's and the catalogue's own."""
    typed = ("find", "HAT", "--wearer", "the ferryman", "--loom", "sill ring", "--yarn", "Reed  Wool", "--json")
    exact = ("find", "hat", "--wearer", "The Ferryman", "--loom", "Sill Ring", "--yarn", "reed wool", "--json")
    assert pegwright(*typed, here=here) == pegwright(*exact, here=here)
    for size in ("Adult-Woman", "adult woman", "ADULT_WOMAN"):
        assert wish("Hat", size=size) == wish("hat", size="adult-woman")
    assert wish("hat", size="6 years").size == "6-years"


@pytest.mark.parametrize(
    ("text", "um"),
    [("21½ in", 546_100), ("21 in.", 533_400), ("21 IN", 533_400), ("21½″", 546_100), ("8 1/2in", 215_900)],
)
def test_lengths_as_people_write_them(text: str, um: int) -> None:
    """1 in is 25.4 mm."""
    assert wish("hat", around=text).around_um == um


@pytest.mark.parametrize("rib", ["2 x 2", "2X2", "2 × 2"])
def test_ribs_as_people_write_them(rib: str) -> None:
    """All of them are the one rib."""
    reports = [sizes(KIT, wish("hat", rib=each), "21 in") for each in (rib, "2x2")]
    assert reports[0] == reports[1]
    assert reports[0].rib == "2x2"


def test_sizes_by_age_and_name() -> None:
    """A size of the catalogue under its own name, another age as it was typed; the unit is that of the first length."""
    run = sizes(KIT, wish("hat"), "6 years, Adult Man, 30 months, 21 in")
    assert [row.size for row in run.rows] == ["6-years", "adult-man", "30 months", "53.3 cm"]
    by_name = sizes(KIT, wish("hat"), "6-years,adult-man").rows
    assert list(run.rows[:2]) == list(by_name)
    assert run.rows[2].body_mm == round(body("head", age_months=30).um / 1000, 3)
    assert "21.0 in" in pegwright("sizes", "hat", "--sizes", "6 years,21 in").out


@pytest.mark.parametrize("item", ["ball", "bolster", "toy"])
def test_a_diameter_is_its_girth(item: str) -> None:
    """Girth is π × diameter, to the µm."""
    asked = wish(item, across="16 cm")
    assert asked.around_um == round(PI * 160_000)
    assert asked.unit == "cm"
    assert wish(item, across="6 in").unit == "in"


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("hat", "across"), "across"),
        (("panel", "across"), "across"),
        (("ball", "across", "around"), "across"),
    ],
)
def test_a_diameter_where_none_is_meant(words: tuple[str, ...], field: str) -> None:
    """Of what is made to a body, of a panel, beside a girth: told at its field."""
    with pytest.raises(InputError) as caught:
        wish(words[0], **dict.fromkeys(words[1:], "16 cm"))  # type: ignore[misc]
    assert [fault.field for fault in caught.value.faults] == [field]


def test_without_a_kit_it_says_loudly_whose_looms_these_are(tmp_path: Path) -> None:
    """On stderr, where a size alone was given; with a kit not a word of it."""
    ran = pegwright("find", "hat", "--around", "21 in", "--top", "1", here=tmp_path)
    assert "THESE LOOMS AND YARNS ARE NOT YOURS" in ran.err
    assert "NOT YOURS" not in ran.out
    (tmp_path / "kit.toml").write_text(RING)
    assert "NOT YOURS" not in pegwright("find", "hat", "--around", "21 in", "--top", "1", here=tmp_path).err


def test_a_folder_is_the_kit_in_it(here: Path) -> None:
    """--kit FOLDER, wherever a kit is read."""
    for words in (
        ("find", "hat", "--around", "19 in", "--girth-within", "5 in", "--top", "1", "--save", "plan.json", "--force"),
        ("kit", "check"),
    ):
        assert pegwright(*words, "--kit", ".", here=here).out == pegwright(*words, here=here).out
    counts = ("--rows-done", "8", "--stitches", "17 over 4 in", "--rows", "21 over 4 in")
    ran = pegwright("adjust", "plan.json", *counts, "--kit", str(here), here=here)
    assert ran.code in (0, 1), ran.err
    assert ran.out == pegwright("adjust", "plan.json", *counts, here=here).out

"""Cautions: shown where they apply, never for a plain adult hat."""

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog import caution
from catalog.caution import Worked, all_cautions, care_line, caution_list, sourced
from catalog.errors import InputError

ITEMS = (
    "hat",
    "hat-brim-first",
    "headband",
    "cowl",
    "ball",
    "bolster",
    "mittens",
    "slippers",
    "socks",
    "panel",
    "toy",
)
DRAWN = ("drawn-cast-on", "plain", "rib-1x1", "bind-off")
CLOSING = "Follow local rules and a professional's advice."
quick = settings(max_examples=150, deadline=None)
ages = st.integers(0, 1200).map(Fraction)


def names(
    item: str,
    kinds: tuple[str, ...] = DRAWN,
    age: int | Fraction | None = None,
    head_mm: int | None = None,
    adult: bool = False,
    worked: Worked = Worked(),
) -> list[str]:
    months = None if age is None else Fraction(age)
    head_um = None if head_mm is None else head_mm * 1000
    found = caution_list(item=item, kinds=kinds, age_months=months, head_um=head_um, adult=adult, worked=worked)
    return [each.name for each in found]


@pytest.mark.parametrize("item", ["hat", "hat-brim-first", "headband"])
@pytest.mark.parametrize("known", [{"adult": True}, {"age": 240}, {"head_mm": 500}, {"head_mm": 570}])
def test_never_for_a_plain_adult_hat(item: str, known: dict[str, int]) -> None:
    """Own: the limit between a child's and a grown head where no age is known is 50 cm."""
    assert names(item, ("drawn-cast-on", "plain", "gather"), **known) == []  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("age", "expected"),
    [
        (0, ["off-for-sleep", "no-cords", "small-parts"]),
        (Fraction(1199, 100), ["off-for-sleep", "no-cords", "small-parts"]),
        (12, ["no-cords", "small-parts"]),
        (35, ["no-cords", "small-parts"]),
        (36, ["no-cords"]),
        (167, ["no-cords"]),
        (168, []),
    ],
)
def test_a_hat_by_age(age: int | Fraction, expected: list[str]) -> None:
    """Sources: AAP safe sleep 2022 (first year), 16 CFR 1501 (under 3 years), EN 14682 by analogy (under 14)."""
    assert names("hat", age=age) == expected


def test_an_unknown_age_goes_by_the_head() -> None:
    """Own: under 50 cm every caution of the hat shows; a known age is stronger than a small head."""
    assert names("hat", head_mm=499) == ["off-for-sleep", "no-cords", "small-parts"]
    assert names("hat", age=400, head_mm=499) == []
    assert names("hat", age=6, head_mm=510) == names("hat", age=6)


def test_the_drawn_end_is_what_brings_the_cord() -> None:
    """EN 14682 by analogy: a headband is drawn shut nowhere, a hat at its crown, by either way of closing."""
    assert "no-cords" not in names("headband", ("wrapped-cast-on", "rib-1x1", "bind-off"), age=24)
    assert "no-cords" in names("hat-brim-first", ("wrapped-cast-on", "plain", "gather"), age=24)


def test_slippers_and_socks_slide_under_everyone() -> None:
    """Common practice, no source: soles slide at every age; the rest is for children."""
    for item in ("slippers", "socks"):
        assert names(item, adult=True) == ["soles-slide"]
        assert names(item, age=6) == ["small-parts", "loose-threads", "soles-slide", "nightwear"]
        assert names(item, age=100) == ["soles-slide", "nightwear"]


def test_a_ball_warns_unless_it_is_known_to_be_for_a_grown_person() -> None:
    """ASTM F963 (from memory), 16 CFR 1501: nobody says for whom an ornament is, so both show."""
    assert names("ball") == ["small-parts", "hanging-toy", "filling"]
    assert names("ball", adult=True) == names("ball", age=50 * 12) == ["filling"]
    assert names("ball", age=6) == ["small-parts", "hanging-toy", "not-in-a-cot", "filling"]


def test_a_cowl_is_a_loop_round_the_neck() -> None:
    """EN 14682 by analogy: under seven years."""
    assert names("cowl", ("rib-1x1", "plain"), age=83) == ["neck-loop"]
    assert names("cowl", ("rib-1x1", "plain"), age=84) == []


def test_mittens_are_joined_by_no_cord() -> None:
    """EN 14682 by analogy: under fourteen years."""
    assert names("mittens", age=167) == ["mitten-cord", "nightwear"]
    assert names("mittens", age=168) == []


@pytest.mark.parametrize("item", ["bolster", "panel"])
def test_cushions_and_blankets_stay_out_of_the_cot(item: str) -> None:
    """AAP safe sleep 2022: for a baby only; a cushion of unknown use carries no caution."""
    filling = ["filling"] if item == "bolster" else []
    assert names(item, age=11) == ["not-in-a-cot", *filling]
    assert names(item, age=12) == names(item) == filling


def test_the_yarn_the_row_and_the_class_bring_their_own() -> None:
    """Common practice, no source: long fibres, hot irons on acrylic, long rows (100 pegs, own), a class."""
    assert names("panel", age=20, worked=Worked(frozenset({"brushed", "mist"}))) == ["loose-fibres"]
    assert names("panel", age=36, worked=Worked(frozenset({"mohair"}))) == []
    assert names("panel", worked=Worked(frozenset({"acrylic"}))) == ["no-hot-iron"]
    assert names("panel", worked=Worked(pegs=100)) == ["tired-hands"]
    assert names("panel", worked=Worked(pegs=99)) == []
    assert names("panel", worked=Worked(classroom=True)) == ["under-an-eye"]


def test_the_line_of_care_names_every_caution_once() -> None:
    """Each in its few words, handing over once; a sentence that is not the catalogue's is told whole."""
    told = [sourced(each) for each in all_cautions()]
    line = care_line(told, "More.")
    assert all(line.count(each.brief) == 1 for each in all_cautions())
    assert line.count(CLOSING) == 1
    assert line.endswith(" More.")
    assert care_line([]) == ""
    assert care_line(["Mind the step."]) == "Mind the step."


@quick
@given(st.sampled_from(ITEMS), ages, ages)
def test_growing_up_takes_cautions_away_and_adds_none(item: str, one: Fraction, other: Fraction) -> None:
    """No source: whoever is older has no caution that the younger has not."""
    younger, older = sorted((one, other))
    assert set(names(item, age=older)) <= set(names(item, age=younger))


@quick
@given(st.sampled_from(ITEMS), ages, st.integers(300, 650))
def test_what_is_known_to_be_for_a_baby_is_never_hidden(item: str, age: Fraction, head_mm: int) -> None:
    """No source: not knowing the age of a small head is as careful as knowing that it is newborn."""
    assert names(item, head_mm=min(head_mm, 499)) == names(item, age=0)
    assert names(item, age=age, head_mm=head_mm, adult=True) == names(item, age=age)


def test_every_caution_is_signed_and_hands_over() -> None:
    """Each ends with local rules and a professional, once, and names its source; each is shown by some ask."""
    everything = Worked(frozenset({"mohair", "acrylic"}), 100, classroom=True)
    shown = {name for item in ITEMS for name in names(item, age=0, worked=everything)}
    assert {each.name for each in all_cautions()} == shown
    for each in all_cautions():
        assert each.sentence.endswith(". " + CLOSING)
        assert each.sentence.count("local rules") == 1
        assert each.source
        assert len(each.brief) <= 42
        assert each.flag in ("pub", "mem", "practice", "own")
        assert (each.flag == "mem") == ("from memory" in each.source)


def test_the_items_named_are_items() -> None:
    """A misspelt item in the data would silence its caution."""
    data = tomllib.loads((Path(caution.__file__).parent / "cautions.toml").read_text(encoding="utf-8"))
    assert {item for entry in data["caution"] for item in entry["items"]} == set(ITEMS)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("itmes = ['hat']", r'itmes: does not exist\n  hint: did you mean "items"\?'),
        ("source = ''", "source: missing in caution drowsy"),
        ("below = '3'", 'drowsy: found "3", expected an age with its unit'),
    ],
)
def test_a_wrong_entry_says_which_key(line: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """File, key, what is wrong and the nearest key that exists."""
    rows = {
        "name": "'drowsy'",
        "brief": "'yawn'",
        "items": "['hat']",
        "sentence": "'Yawn.'",
        "flag": "'own'",
        "source": "'us'",
    }
    rows |= dict([line.split(" = ")])
    text = "closing = 'x'\nsmall_head_mm = 500\n[[caution]]\n" + "\n".join(f"{k} = {v}" for k, v in rows.items())
    (tmp_path / "cautions.toml").write_text(text)
    monkeypatch.setattr(caution, "FILE", tmp_path / "cautions.toml")
    with pytest.raises(InputError, match=says):
        caution._read.__wrapped__()

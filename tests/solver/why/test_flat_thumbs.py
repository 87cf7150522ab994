"""Where only some ways have a thumb in the round and others a flat one, both are in the reasons and in the repairs."""

from dataclasses import replace
from typing import Any

from catalog.kit import Kit, kit_of
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.report.clash import ClashReport
from solver.search.best_first import find
from solver.search.lesser_pieces import versions
from solver.why.check import check
from solver.why.explain import explain

HOOP = {"name": "hoop", "build": "ring", "pitch": "12 mm", "peg_diameter": "5 mm", "pegs": 24}
RAKE = {"name": "rake", "build": "slider", "pitch": "5 mm", "peg_diameter": "2 mm", "pegs_least": 4, "pegs_most": 40}
THICK: dict[str, Any] = {"name": "thick", "weight": 5, "length_per_ball": "50 m"}
THIN = {"name": "thin", "weight": 2}


def _kit(*yarns: dict[str, Any], looms: tuple[dict[str, Any], ...] = (HOOP, RAKE)) -> Kit:
    """Thick yarn is worked on the hoop alone, where a thumb is flat; thin yarn on the rake too, where it is round."""
    return kit_of({"loom": list(looms), "yarn": list(yarns)}, "test kit")


def _explained(kit: Kit, wanted: Wish) -> ClashReport:
    ask = ask_of(kit, wanted)
    assert not find(ask, 1).options
    return explain(kit, wanted, ask)


def test_another_size_is_found_where_the_thumb_is_flat() -> None:
    """A hand of 19 cm is too large for the hoop: 17.6 cm would do there, with the thumb worked flat.

    Thumbs in the round were all that was looked at: nothing helped, and 11.4 cm on the rake was the nearest in reach.
    """
    kit, wanted = _kit(THICK, THIN), Wish("mittens", body_um=190_000, unit="cm")
    assert len(versions(ask_of(kit, wanted))[1].ways) < len(ask_of(kit, wanted).ways)  # some ways only
    report = _explained(kit, wanted)
    (girth,) = (each for each in report.clash if each.rule == "girth-within")
    assert "24 pegs of 2 strands of thick on the hoop" in girth.says
    (fix,) = report.repairs
    assert fix.says.endswith("2 strands of thick on the hoop, the thumb worked flat.")
    again = replace(wanted, ease_um=_um(fix.asks["ease"]))
    (first,) = find(ask_of(kit, again), 1).options
    assert first.setup.pieces[1].ask.seam
    assert first.setup.pieces[0].girth_um == round(1000 * fix.option.girth_mm)


def _um(text: str) -> int:
    return round(float(text.removesuffix(" cm")) * 10_000)


def test_yarn_is_bought_for_a_flat_thumb() -> None:
    """65 m are needed where one ball of 50 is there: one more ball, and the thumb is flat."""
    kit = _kit({**THICK, "balls": 1}, THIN)
    wanted = Wish("mittens", body_um=152_000, unit="cm", pins=Pins(yarn="thick", strands=1))
    report = _explained(kit, wanted)
    bought = [fix for fix in report.repairs if fix.says.startswith("Buy 1 more ball of thick: 24 pegs, ")]
    assert [fix.says.split(", ")[-2:] for fix in bought] == [["thick on the hoop", "the thumb worked flat."]]


def test_a_way_with_both_is_one_way() -> None:
    """Ways are counted once, flat or in the round, and the pegs that stop a hand are not said of its thumb."""
    report = _explained(_kit(THICK, THIN), Wish("mittens", body_um=190_000, unit="cm"))
    assert report.ways == 8  # two looms, two yarns, one strand or two
    assert report.says.startswith("20.1 cm round takes 30 pegs; the hoop has 24, ")


def test_girths_in_reach_are_those_of_flat_thumbs_too() -> None:
    """`check` draws 24 pegs of the hoop as in reach where the thumb is flat, as the repair says."""
    kit, wanted = _kit(THICK, THIN), Wish("mittens", body_um=190_000, unit="cm")
    hoop = next(each for each in check(kit, wanted).looms if each.loom == "hoop")
    assert hoop.nearest_below_mm == _explained(kit, wanted).repairs[0].option.girth_mm


def test_a_flat_thumb_is_measured_without_its_seam() -> None:
    """Stitches of 25 mm: 6 cm of thumb, 1 cm either way, are 2 or 3 of them and one more peg, which the seam takes."""
    ringlet = {**HOOP, "name": "ringlet", "pegs": 6}
    swatch = {"loom": "ringlet", "yarn": "thick", "stitches": {"count": 4, "over": "10 cm"}}
    kit = kit_of(
        {"loom": [ringlet], "yarn": [THICK], "swatch": [{**swatch, "rows": {"count": 20, "over": "10 cm"}}]}, "test kit"
    )
    report = _explained(kit, Wish("mittens", body_um=150_000, ease_um=0, unit="cm", measured_only=True))
    (girth,) = (each for each in report.clash if each.rule == "girth-within")
    assert girth.have == 50.0
    assert girth.says.endswith("the nearest in reach is 5.0 cm, 3 pegs of thick on the ringlet, worked flat")

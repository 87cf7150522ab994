"""Lengths say what they are: a foot and a leg, with the cuff and without, as finished and as worked."""

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from catalog.units import half_up
from solver.formats.blocks import Drawing
from solver.formats.text import text_lines
from solver.formats.tubes import TubePicture
from solver.page.contents import sheet_of
from solver.plan.saved import SavedPlan, load_plan
from solver.terms import Terms
from tests.command import pegwright
from tests.kits.sheetplans import plan_for


def sheet(plan: SavedPlan) -> list[str]:
    """Its lines."""
    return [line for _, line in text_lines(sheet_of(plan), 10_000)]


def lengths(plan: SavedPlan) -> dict[str, float]:
    """The lengths of the main piece by name, mm."""
    return {each.name: each.mm for each in plan.option.pieces[0].lengths}


def test_a_bolster_is_as_long_as_was_asked() -> None:
    """18 in of side are worked 5 in longer, for each drawn end covers a radius; 23 in is nowhere called asked."""
    plan = plan_for("bolster", long_um=457_200)
    told = lengths(plan)
    assert told["as worked"] == plan.option.length_mm
    assert told["long"] == pytest.approx(told["as worked"] - plan.option.girth_mm / math.pi, abs=0.01)
    assert told["long"] == pytest.approx(457.2, abs=19.05)
    asked = {each.name: each.mm for each in plan.ask.lengths}
    assert asked["long"] == pytest.approx(457.2, abs=0.01)
    assert re.search(r"Asked for +16 in round, 18 in long, as worked 23 in", "\n".join(sheet(plan)))
    assert sheet(plan)[0].endswith("18 in long, as worked 23 1/4 in")


@pytest.mark.parametrize(("name", "above", "more"), [("slippers", "cuff", {}), ("socks", "leg", {}),
                                                     ("socks", "leg", {"around_um": 139_700})])  # fmt: skip
def test_a_foot_is_told_from_what_stands_above_it(name: str, above: str, more: dict[str, int]) -> None:
    """Foot and leg add up to the whole, and the foot is as long as a foot, within a row or two."""
    plan = plan_for(name, **more)
    told = lengths(plan)
    assert told["foot"] + told[above] == pytest.approx(told["long"], abs=0.01)
    asked = {each.name: each.mm for each in plan.ask.lengths}
    row = plan.gauge.height_um / 1000
    around = plan.option.girth_mm - plan.ask.girth_mm
    assert told["foot"] == pytest.approx(asked["foot"], abs=row / 2 + abs(around) / 2 + 0.01)
    assert asked["foot"] == pytest.approx(1.08 * plan.ask.girth_mm, abs=0.01)  # the foot that goes with that girth
    assert re.search(rf"long, foot .* in, {above} .* in$", sheet(plan)[0])


def test_a_mitten_with_its_cuff_and_without() -> None:
    """The hand alone is what lies without the cuff."""
    plan = plan_for("mittens")
    told = lengths(plan)
    assert plan.option.band_depth_mm is not None
    assert told["without the cuff"] == pytest.approx(told["long"] - plan.option.band_depth_mm, abs=0.01)


def test_the_table_says_it_too(tmp_path: Path) -> None:
    """In the ask and under each option."""
    out = " ".join(pegwright("find", "bolster", "--around", "16 in", "--long", "18 in", here=tmp_path).out.split())
    assert "Asked: bolster cushion, 16.0 in round and 18.0 in long, as worked 23.1 in" in out
    assert "as worked 23" in out.split("Asked:")[0]
    socks = " ".join(pegwright("find", "socks", "--size", "adult-woman", "--top", "1", here=tmp_path).out.split())
    assert re.search(r"; foot 2\d\.\d cm, leg 1\d\.\d cm", socks)


def without_names(plan: SavedPlan) -> dict[str, Any]:
    """A plan as it was written before its lengths had names, and before an edge could be chosen."""
    found: dict[str, Any] = json.loads(plan.model_dump_json())
    for part in (found["ask"], *found["option"]["pieces"]):
        del part["lengths"]
    for part in (found["ask"], found["option"], found["wish"]):
        del part["bind_off"]
    return found


def test_a_bolster_of_before_says_finished_and_worked(tmp_path: Path) -> None:
    """Kept without names: 18 in was asked and 23 in is what is worked, on the sheet as in a plan of today."""
    plan = plan_for("bolster", long_um=457_200)
    (tmp_path / "old.json").write_text(json.dumps(without_names(plan)))
    old = load_plan(tmp_path / "old.json")
    assert lengths(old) == pytest.approx(lengths(plan), abs=0.002)
    assert [n.name for n in old.ask.lengths] == ["long", "as worked"]
    told = pegwright("sheet", "--from", "old.json", here=tmp_path).out
    assert "16 in round, 18 in long, as worked 23 1/4 in" in told.splitlines()[0]
    facts = dict(re.findall(r"^  (Long|As worked|Asked for) +(.*)$", told, re.MULTILINE))
    assert facts["Long"].startswith("18 in; 4 in 5")
    assert facts["As worked"] == "23 1/4 in"
    assert facts["Asked for"] == "16 in round, 18 in long, as worked 23 in"


@pytest.mark.parametrize("name", ["socks", "slippers", "mittens", "hat"])
def test_other_plans_of_before_get_their_names_too(name: str, tmp_path: Path) -> None:
    """Every piece as in a plan of today; of the ask the foot is not known, so only the whole is said."""
    plan = plan_for(name)
    (tmp_path / "old.json").write_text(json.dumps(without_names(plan)))
    old = load_plan(tmp_path / "old.json")
    for was, now in zip(old.option.pieces, plan.option.pieces, strict=True):
        assert {n.name: n.mm for n in was.lengths} == pytest.approx({n.name: n.mm for n in now.lengths}, abs=0.05)
    asked = {n.name: n.mm for n in plan.ask.lengths if n.name not in ("foot", "leg", "cuff")}
    assert {n.name: n.mm for n in old.ask.lengths} == pytest.approx(asked, abs=0.002)


def done(plan: SavedPlan) -> dict[str, str]:
    """What the sheet says of the first piece when it is done."""
    text = "\n".join(sheet(plan)).split("When it is done")[1]
    return dict(reversed(re.findall(r"^  (\S.*?)  +(\S.*)$", text, re.MULTILINE)))


def tape_mm(words: str) -> float:
    """A length in inches as a tape shows it: "15 3/4 in"."""
    whole, quarters = re.fullmatch(r"(\d*) ?(?:(\d)/[24])? in", words).groups()  # type: ignore[union-attr]
    part = {"1/4": 0.25, "1/2": 0.5, "3/4": 0.75}.get(words.split()[-2], 0.0) if quarters else 0.0
    return 25.4 * (float(whole or 0) + part)


def test_toe_and_heel_are_of_the_length_and_not_beyond_it() -> None:
    """What the rows of all pegs measure, toe and heel: together the length that is told."""
    plan = plan_for("socks")
    told, worked = done(plan), re.findall(r"After row \d+ it measures (.*?) from", "\n".join(sheet(plan)))[-1]
    assert "beyond" not in "\n".join(sheet(plan)).split("When it is done")[1]
    toe, heel = re.fullmatch(r"the toe about (.* in), the heel about (.* in)", told["Of it"]).groups()  # type: ignore[union-attr]
    whole = tape_mm(told["Long"].split(";")[0])
    assert tape_mm(worked) + tape_mm(toe) + tape_mm(heel) == pytest.approx(whole, abs=4 * 25.4 / 8)


def drawn(plan: SavedPlan) -> tuple[str, str, float]:
    """The caption of the first piece laid flat, what stands along it, and its height over its width as drawn."""
    part = next(p for p in sheet_of(plan).parts if p.name == "measures")
    drawing = next(b for b in part.blocks if isinstance(b, Drawing))
    assert isinstance(drawing.picture, TubePicture)
    (along,) = (n.text for n in drawing.picture.notes if n.anchor == "turned")
    down = next(float(d.split(" v")[1].split()[0]) for d in drawing.picture.brackets if re.search(r" h-4 v\S+ h4$", d))
    wide = next(float(d.split(" h")[1].split()[0]) for d in drawing.picture.brackets if re.search(r" v4 h\S+ v-4$", d))
    return drawing.caption, along, (down + 2) / wide  # the bracket ends a unit within either end


@pytest.mark.parametrize("name", ["bolster", "socks", "hat", "slippers", "ball"])
def test_what_stands_along_a_drawing_is_what_is_drawn(name: str) -> None:
    """A bolster as worked, a sock without its heel, all else the whole: the lengths told are in the drawing's scale."""
    plan = plan_for(name, long_um=457_200) if name == "bolster" else plan_for(name)
    caption, along, ratio = drawn(plan)
    told = tape_mm(re.search(r"[\d/ ]+ in", along)[0].strip())  # type: ignore[index]
    assert told == pytest.approx(ratio * plan.option.girth_mm / 2, abs=5)
    whole = plan.option.pieces[0].lengths[0].mm
    said = re.search(r"across, (?:as worked .*\()?([\d/ ]+ in)(?: long| when it is finished\))", caption)
    assert said
    assert tape_mm(said[1]) == pytest.approx(whole, abs=25.4 / 8)
    word = {"bolster": r"as worked [\d/ ]+ in", "socks": r"without the heel [\d/ ]+ in"}.get(name, r"[\d/ ]+ in long")
    assert re.fullmatch(word, along)


@pytest.mark.parametrize("unit", ["in", "cm"])
@pytest.mark.parametrize("size", ["2-years", "8-years", "adult-woman", "adult-man"])
def test_a_cuff_and_its_rib_are_one_figure_or_two_that_say_what_they_are(size: str, unit: str) -> None:
    """A cuff of 3.5 cm beside a band of 4 cm was one ribbing: what stands beyond the foot, and how deep its rib is."""
    plan = plan_for("slippers", "1x1", unit, size=size)
    told, terms = done(plan), Terms("us", unit)
    assert "Band" not in told
    cuff, rib = (terms.tape(half_up(1000 * mm)) for mm in (lengths(plan)["cuff"], plan.option.band_depth_mm or 0))
    both = f"{cuff} beyond the foot; its rib is {rib} deep"
    assert told["Cuff"] == (f"{cuff} deep, all of it rib" if cuff == rib else both)


def test_a_band_longer_than_what_stands_beyond_the_foot_makes_no_cuff_under_nothing(tmp_path: Path) -> None:
    """As JSON, in the table, in the ask and on the sheet: a slipper no longer than its foot told of less than none."""
    plan = plan_for("slippers", around_um=228_600, long_um=225_000)
    told, asked = lengths(plan), {each.name: each.mm for each in plan.ask.lengths}
    assert told["long"] < told["foot"]
    assert (told["cuff"], asked["cuff"]) == (0, 0)
    assert done(plan)["Cuff"].startswith("none beyond the foot; its rib is")
    out = pegwright("find", "slippers", "--around", "9 in", "--long", "22.5 cm", "--units", "in", here=tmp_path).out
    assert "cuff 0.0 in" in " ".join(out.split())
    assert not re.search(r"-\d", out)

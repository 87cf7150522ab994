"""A saved plan: what is written is what is read, and a file that a hand has spoilt says where."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from catalog.errors import InputError
from catalog.kit import built_in_kit
from catalog.outputs import Outputs
from solver.asking.wish import Wish
from solver.formats.text import text_lines
from solver.model.ask import Pins
from solver.page.contents import sheet_of
from solver.plan.answer import answer
from solver.plan.saved import SavedPlan, load_plan, plan_of, save_plan
from tests.kits.sheetplans import answer_for, wish_for
from tests.kits.small import SMALL, kit_with


def hat() -> SavedPlan:
    """The best hat of the built-in kit."""
    return plan_of(answer_for("hat", top=3), wish_for("hat"), "kit.toml")


def test_a_plan_comes_back_as_it_was(tmp_path: Path) -> None:
    """Fractions, pins and spans of the wish too: `adjust` asks again from it."""
    pins = Pins(loom="attic frame", strands=1)
    wish = replace(wish_for("hat"), yarn_price=Fraction(1, 3), band=(50_800, None), pins=pins)
    plan = plan_of(answer(built_in_kit(), wish, 2), wish, None, 2)
    save_plan(plan, tmp_path / "plan.json", Outputs())
    again = load_plan(tmp_path / "plan.json")
    assert again == plan
    assert again.wish == wish
    assert again.option.rank == 2
    assert [p.name for p in tmp_path.iterdir() if not p.name.endswith(".lock")] == ["plan.json"]


def test_an_end_board_without_pegs_is_saved_too(tmp_path: Path) -> None:
    """A kit may have one (pegs = 0); keeping a plan of it was a fault of ours, and so was its sheet."""
    frame = SMALL["loom"][0] | {"end_boards": [{"name": "bare", "pegs": 0, "on_hand": 2}]}
    wish = Wish("headband", around_um=300_000, unit="cm")
    plan = plan_of(answer(kit_with(("loom", [frame])), wish, 1), wish)
    save_plan(plan, tmp_path / "plan.json", Outputs())
    assert load_plan(tmp_path / "plan.json") == plan
    assert (plan.option.end_board, plan.option.pegs_per_end) == ("bare", 0)
    assert any("bare" in str(line) for line in text_lines(sheet_of(plan), 80))


def test_a_swatch_weighed_in_kilograms_is_saved_as_it_is(tmp_path: Path) -> None:
    """A slip of the kit's: over a metre of yarn in each stitch was more than a plan could hold, and a fault of ours."""
    counts = {"stitches": {"count": 16, "over": "4 in"}, "rows": {"count": 20, "over": "4 in"}}
    weighed = {"mass": "8 kg", "knitted": {"stitches": 30, "rows": 40}, "checked": True}
    kit = kit_with(("swatch.0", {"loom": "ring", "yarn": "wool", **counts, **weighed}))
    wish = Wish("headband", around_um=381_000, pins=Pins(loom="ring"))
    plan = plan_of(answer(kit, wish, 1), wish)
    save_plan(plan, tmp_path / "plan.json", Outputs())
    assert load_plan(tmp_path / "plan.json") == plan
    assert plan.gauge.loop_um > 1_000_000


def test_short_rows_are_beside_the_rows_of_all_pegs(tmp_path: Path) -> None:
    """A sock's toe and heel count apart; its plan is no slip."""
    plan = plan_of(answer_for("socks"), wish_for("socks"))
    save_plan(plan, tmp_path / "plan.json", Outputs())
    assert load_plan(tmp_path / "plan.json") == plan


def test_the_gauge_and_loom_are_those_of_the_option() -> None:
    """What `adjust` compares a new count with, and what a drawing needs of the frame."""
    plan = hat()
    assert (plan.gauge.width_um, plan.gauge.height_um) == (plan.option.stitch_width_um, plan.option.row_height_um)
    assert plan.loom("attic frame").side_boards == {"long": 30, "short": 18}  # 290 mm / 9.5 mm = 30.5
    assert plan.loom("attic frame").end_boards == {"end": 6}


def test_an_option_that_was_not_found() -> None:
    """The error names the option and how many there are."""
    with pytest.raises(InputError, match=r"option: found 9, expected 1 to 3"):
        plan_of(answer_for("hat", top=3), wish_for("hat"), None, 9)


def changed(*path: Any, value: Any) -> Callable[[dict[str, Any]], Any]:
    """A plan file with one value changed."""

    def change(plan: dict[str, Any]) -> Any:
        here: Any = plan
        for step in path[:-1]:
            here = here[step]
        here[path[-1]] = value
        return plan

    return change


SPOILT = [
    (changed("format", value="pegwright.plan.v9"), 'found format "pegwright.plan.v9", expected "pegwright.plan.v1"'),
    (changed("format", value="pegwright.plan.v9"), "this plan was written by a newer pegwright: update it"),
    (changed("format", value="pegwright.find.v2"), 'found format "pegwright.find.v2", expected "pegwright.plan.v1"'),
    (lambda plan: [], "found JSON without a format"),
    (changed("option", "pegs", value="many"), 'option.pegs: found "many"'),
    (changed("option", "girth_mm", value=float("nan")), "option.girth_mm: found nan"),
    (changed("option", "yarn_m", value=float("inf")), "option.yarn_m: found inf"),
    (changed("ways", 0, "gauge", "width_um", value=0), "ways[1].gauge.width_um: found 0"),
    (changed("unit", value="ell"), 'unit: found "ell", expected one of "in" or "cm"'),
    (changed("wish", "around_um", value="wide"), 'wish.around_um: found "wide"'),
    (changed("option", "pieces", 0, "loom", value="atic frame"), 'did you mean "attic frame"?'),
    (changed("option", "pieces", 0, "rows_total", value=1), "found 1, expected 42, the rows of all pegs"),
    (changed("option", "pieces", 0, "copies", value=3_000_000), "option.pieces[1].copies: found 3000000"),
    (changed("option", "stitch", value="ewrap"), 'option.stitch: found "ewrap", which does not exist'),
    (changed("option", "pegs", value=0), "option.pegs: found 0, expected 84, the same as that of the first piece"),
    (changed("option", "girth_likely_mm", value=[500.0]), "option.girth_likely_mm[2]"),
    (changed("wish", "stitch", value="ewrap"), 'wish.stitch: found "ewrap", which does not exist'),
    (changed("wish", "yarn_price", value=0.9372), "wish.yarn_price: found"),
    (changed("option", "pieces", 0, "sections", 1, "kind", value="plane"), 'did you mean "plain"?'),
]


@pytest.mark.parametrize(("change", "words"), SPOILT)
def test_a_spoilt_file_says_where(tmp_path: Path, change: Callable[[dict[str, Any]], Any], words: str) -> None:
    """The file, the key, what was found and what was expected."""
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(change(json.loads(hat().model_dump_json()))))
    with pytest.raises(InputError) as error:
        load_plan(path)
    assert str(path) in str(error.value)
    assert words in str(error.value)


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"not json", b"[" * 100_000])
def test_no_json_at_all(tmp_path: Path, content: bytes) -> None:
    """Never a traceback."""
    (tmp_path / "plan.json").write_bytes(content)
    with pytest.raises(InputError, match="not JSON"):
        load_plan(tmp_path / "plan.json")


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    """Both say what was expected."""
    with pytest.raises(InputError, match="no such file, expected a saved plan"):
        load_plan(tmp_path / "none.json")
    with pytest.raises(InputError, match="found a folder"):
        load_plan(tmp_path)
    with pytest.raises(InputError, match="no such folder"):
        save_plan(hat(), tmp_path / "gone" / "plan.json", Outputs())


PLACES: list[tuple[Any, ...]] = [
    (), ("option",), ("option", "pieces", 0), ("option", "pieces", 0, "sections", 1), ("ask",), ("ask", "lengths", 0),
    ("ways", 0), ("ways", 0, "gauge"), ("looms", 0), ("wish",), ("wish", "pins"),
]  # fmt: skip


@pytest.mark.parametrize("place", PLACES)
def test_a_key_that_a_later_pegwright_wrote_is_passed_over(tmp_path: Path, place: tuple[Any, ...]) -> None:
    """Within v1 a field may be added; a text, a table, a name near to one that stands beside it."""
    plan = json.loads(hat().model_dump_json())
    here: Any = plan
    for step in place:
        here = here[step]
    more = {"felted": "twice", "shrinkage": {"wash_ppm": [1, 2]}} | {f"{name}s": 1 for name in here}
    here.update({name: value for name, value in more.items() if name not in here})
    (tmp_path / "plan.json").write_text(json.dumps(plan))
    assert load_plan(tmp_path / "plan.json") == hat()


@pytest.mark.parametrize(
    ("place", "name", "wrong"),
    [
        (("option", "pieces", 0), "flat", "flatt"),
        (("wish",), "sure_ppm", "sure_pm"), (("wish", "pins"), "pegs", "peg"),
        (("option",), "yarn", "yarns"), ((), "notes", "note"),
    ],
)  # fmt: skip
def test_a_key_with_a_slip_of_the_pen_is_no_later_one(
    tmp_path: Path, place: tuple[Any, ...], name: str, wrong: str
) -> None:
    """What it was meant to be is missing beside it. Those of a wish were dropped without a word."""
    plan = json.loads(hat().model_dump_json())
    here: Any = plan
    for step in place:
        here = here[step]
    here[wrong] = here.pop(name)
    (tmp_path / "plan.json").write_text(json.dumps(plan))
    with pytest.raises(InputError) as caught:
        load_plan(tmp_path / "plan.json")
    assert f"{wrong}: found a key that has no meaning here" in str(caught.value)
    assert f'did you mean "{name}"?' in str(caught.value)


def test_a_byte_order_mark_is_no_part_of_a_plan(tmp_path: Path) -> None:
    """Some editors put one before what they save; a kit with one loads too."""
    (tmp_path / "plan.json").write_bytes(b"\xef\xbb\xbf" + hat().model_dump_json().encode())
    assert load_plan(tmp_path / "plan.json") == hat()

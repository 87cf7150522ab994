"""How a thing is bound off: sewn where something must pass; its stretch, its yarn, and plans of before."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from catalog.errors import InputError
from catalog.item import item_names
from catalog.kit import built_in_kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.plan.answer import answer
from solver.plan.older import OLD_EDGE
from solver.plan.saved import load_plan
from solver.search.best_first import find
from solver.steps.of_plan import plan_steps
from solver.steps.step import BindOff, Sew
from tests.command import pegwright
from tests.kits.edges import HAT, SWATCH
from tests.kits.one_ring import one_ring
from tests.kits.sheetplans import plan_for, wish_for
from tests.kits.small import kit_with

EDGES = {
    "hat": "sewn", "headband": "sewn", "cowl": "sewn", "mittens": "sewn", "slippers": "sewn", "socks": "sewn",
    "panel": "passed-over", "hat-brim-first": None, "ball": None, "bolster": None, "toy": None,
}  # fmt: skip


@pytest.mark.parametrize("name", item_names())
def test_an_edge_is_sewn_where_something_must_pass(name: str) -> None:
    """Brim, cuff, cowl, slipper and sock; a panel's is passed over; what is drawn shut has none. Either can be had."""
    assert ask_of(built_in_kit(), wish_for(name)).bind_off == EDGES[name]
    for edge in ("sewn", "passed-over"):
        wish = wish_for(name, bind_off=edge)
        if EDGES[name]:
            assert ask_of(built_in_kit(), wish).bind_off == edge
        else:
            with pytest.raises(InputError, match=f"bind off: found .*, expected none: {name} is bound off nowhere"):
                ask_of(built_in_kit(), wish)


# 60 pegs of 6 mm are 360 mm: passed over they stretch to 396 mm, sewn to 576.
@pytest.mark.parametrize(
    ("edge", "head", "holds"),
    [
        ("passed-over", 396_000, True),
        ("passed-over", 396_001, False),
        ("sewn", 576_000, True),
        ("sewn", 576_001, False),
    ],
)
def test_how_far_an_edge_stretches(edge: str, head: int, holds: bool) -> None:
    """1.1 times passed over, for its loops lock; as far as the fabric, 1.6 times, sewn (own)."""
    wish = replace(HAT, around_um=None, body_um=head, ease_um=360_000 - head, bind_off=edge)
    assert bool(find(ask_of(kit_with(("swatch.0", SWATCH)), wish), 1).options) == holds


def test_a_passed_over_brim_says_over_what_it_goes() -> None:
    """Where nobody said how big the head is the rule does not ask; 1.1 times 50 cm is 55."""
    told = [
        [n for n in ask_of(built_in_kit(), Wish("hat", bind_off=edge, **size)).notes if "goes over" in n]
        for edge, size in (
            ("passed-over", {"around_um": 500_000}), ("sewn", {"around_um": 500_000}),
            ("passed-over", {"body_um": 500_000}),
        )
    ]  # fmt: skip
    assert [len(each) for each in told] == [1, 0, 0]
    assert "over a head of at most about 55.0 cm" in told[0][0]


@pytest.mark.parametrize(("body_um", "round_um"), [(560_000, 798_000), (850_000, 850_000)])
def test_yarn_of_a_sewn_edge_by_hand(body_um: int, round_um: int) -> None:
    """84 pegs 9.5 mm apart are 798 mm, more than 1.25 times 533.4 of girth; a head of 850 mm is more still."""
    wish = Wish("hat", body_um=body_um, ease_um=533_400 - body_um, measured_only=True)
    (option,) = answer(one_ring(4, 5, 84), wish, 1).report.options
    assert option.pegs == 84
    assert option.sections[-1].kind == "sewn-bind-off"
    assert option.sections[-1].yarn_mm == pytest.approx(1.1 * (3 * round_um + 200_000) / 1000, abs=0.001)


def test_the_command_takes_it_and_says_it(tmp_path: Path) -> None:
    """In ask and option; a word misspelt is answered with the nearest."""
    words = ("find", "hat", "--around", "21 in", "--top", "1")
    report = json.loads(pegwright(*words, "--bind-off", "passed-over", "--json", here=tmp_path).out)
    assert (report["ask"]["bind_off"], report["options"][0]["bind_off"]) == ("passed-over", "passed-over")
    assert report["options"][0]["sections"][-1]["kind"] == "bind-off"
    report = json.loads(pegwright(*words, "--json", here=tmp_path).out)
    assert (report["ask"]["bind_off"], report["options"][0]["bind_off"]) == ("sewn", "sewn")
    wrong = pegwright(*words, "--bind-off", "sown", here=tmp_path)
    assert wrong.code == 2
    assert 'did you mean "sewn"?' in wrong.err


def old_plan() -> dict[str, Any]:
    """A plan as it was written before edges could be chosen."""
    plan = json.loads(plan_for("hat", bind_off="passed-over").model_dump_json())
    for part in (plan["ask"], plan["option"], plan["wish"]):
        del part["bind_off"]
    for piece in plan["option"]["pieces"]:
        del piece["must_pass_mm"]
    return dict(plan)


def test_a_plan_of_before_loads_as_it_was_made(tmp_path: Path) -> None:
    """Its edge is passed over, as it was then: in the ask, the option, the wish and the steps; and that is said."""
    (tmp_path / "old.json").write_text(json.dumps(old_plan()))
    plan = load_plan(tmp_path / "old.json")
    assert (plan.ask.bind_off, plan.option.bind_off, plan.wish.bind_off) == ("passed-over",) * 3
    assert OLD_EDGE in plan.notes
    assert [type(s) for s in plan_steps(plan)[0].steps if isinstance(s, BindOff | Sew)] == [BindOff]
    assert OLD_EDGE not in plan_for("hat").notes
    told = pegwright("sheet", "--from", "old.json", here=tmp_path)
    assert told.code == 0
    assert OLD_EDGE[:40] in told.out

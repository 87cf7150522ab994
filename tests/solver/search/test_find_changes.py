"""What must not matter, and what must only help: order, units, more yarn, more boards."""

import json
import random
import re
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from catalog.kit import kit_of
from solver.asking.ask_of import ask_of
from solver.plan.answer import answer
from solver.search.best_first import find
from tests.command import pegwright
from tests.kits import randomkits
from tests.kits.draws import drawn
from tests.solver import against

ONCE = drawn(60)
CASES = randomkits.cases(gauge_of=against.learned_gauge)
Case = tuple[dict[str, Any], dict[str, Any]]


def best_score(plain: dict[str, Any], words: dict[str, Any]) -> int | None:
    """The least score, None without a setup."""
    kit, wish, _, _ = against.told(plain, words)
    options = find(ask_of(kit, wish), 1).options
    return options[0].score if options else None


@ONCE
@given(case=CASES, more=st.sampled_from(("yarn", "boards", "spacers")))
def test_more_yarn_boards_or_spacers_never_make_it_worse(case: Case, more: str) -> None:
    """A fuller cupboard has every setup that the emptier one had."""
    plain, words = case
    richer = deepcopy(plain)
    for yarn in richer["yarn"] if more == "yarn" else ():
        if "balls" in yarn:
            yarn["balls"] += 1
    for loom in richer["loom"]:
        if more == "spacers" and "spacers" in loom:
            loom["spacers"]["on_hand"] += 4
        for board in [*loom.get("side_boards", []), *loom.get("end_boards", [])] if more == "boards" else []:
            board["on_hand"] += 2
    before, after = best_score(plain, words), best_score(richer, words)
    assert before is None or (after is not None and after <= before)


@ONCE
@given(case=CASES, seed=st.integers(0, 999))
def test_the_order_of_entries_never_changes_a_byte(case: Case, seed: int) -> None:
    """Looms, boards, yarns and swatches in any order: the same report, byte for byte."""
    plain, words = case
    shuffled = deepcopy(plain)
    lists = [shuffled[k] for k in ("loom", "yarn", "swatch") if k in shuffled]
    lists += [loom[k] for loom in shuffled["loom"] for k in ("side_boards", "end_boards") if k in loom]
    for each in lists:
        random.Random(seed).shuffle(each)
    (kit, wish, _, _), mixed = against.told(plain, words), against.kit_from(shuffled)
    one, other = (answer(each, wish).report for each in (kit, mixed))
    assert _placeless(one.notes) == _placeless(other.notes)
    assert one.model_dump_json(exclude={"notes"}) == other.model_dump_json(exclude={"notes"})


def _placeless(notes: list[str]) -> list[str]:
    """Notes without the place of a swatch in its file, which is how a person finds it there."""
    return sorted(re.sub(r"swatch \d+", "swatch", note) for note in notes)


@ONCE
@given(case=CASES, fewer=st.integers(1, 4))
def test_a_shorter_list_is_the_head_of_a_longer_one(case: Case, fewer: int) -> None:
    """`--top` cuts, and changes nothing of what it leaves; so do repeated runs."""
    kit, wish, _, _ = against.told(*case)
    short, long = answer(kit, wish, fewer).report.options, answer(kit, wish, 12).report.options
    assert [o.model_dump() for o in short] == [o.model_dump() for o in long[:fewer]]
    assert answer(kit, wish, fewer).report.options == short


def test_inches_and_centimetres_give_the_same_options(tmp_path: Path) -> None:
    """Lengths typed in either unit are the same whole µm, in the ask and in the kit."""
    inches = json.loads(pegwright("find", "hat", "--around", "20 in", "--json", here=tmp_path).out)
    centimetres = json.loads(pegwright("find", "hat", "--around", "50.8 cm", "--json", here=tmp_path).out)
    assert inches["options"]
    assert inches["options"] == centimetres["options"]
    tables = {
        unit: {
            "loom": [{"name": "r", "build": "ring", "pitch": pitch, "peg_diameter": "3 mm", "pegs": 80}],
            "yarn": [{"name": "y", "weight": 4}],
        }
        for unit, pitch in (("in", "1/2 in"), ("cm", "1.27 cm"))
    }
    assert kit_of(tables["in"], "k") == kit_of(tables["cm"], "k")


def test_every_option_of_all_pegs_is_one_peg_count_of_a_way(tmp_path: Path) -> None:
    """`--all-pegs` lists each way's peg counts one by one; the best of each way is the plain list's."""
    kit, wish, _, _ = against.told(*_one_case())
    every = find(ask_of(kit, wish), 500, all_pegs=True)
    assert every.complete
    keys = [(o.setup.way.key, o.setup.pieces[0].pegs) for o in every.options]
    assert len(keys) == len(set(keys)) > len({k for k, _ in keys})
    best: dict[Any, int] = {}
    for option in every.options:
        best.setdefault(option.setup.way.key, option.score)
    assert best == {o.setup.way.key: o.score for o in find(ask_of(kit, wish), 500).options}
    assert not find(ask_of(kit, replace(wish, girth_within_um=0, around_um=301_001)), 5, all_pegs=True).options


def _one_case() -> Case:
    frame = {
        "name": "frame", "build": "boards", "pitch": "9 mm", "peg_diameter": "3 mm", "base_gap": "3 mm",
        "spacers": {"thickness": "2 mm", "most": 3, "on_hand": 60}, "joining": True, "ends_anywhere": True,
        "side_boards": [{"name": "a", "pegs": 12, "on_hand": 4}, {"name": "b", "pegs": 17, "on_hand": 2}],
        "end_boards": [{"name": "e", "pegs": 5, "on_hand": 2}],
    }  # fmt: skip
    yarns = [{"name": n, "weight": 4, "fibre": "wool"} for n in ("red", "grey")]
    return {"loom": [frame], "yarn": yarns}, {"item": "hat", "girth_um": 480_000, "length_um": 200_000}


@ONCE
@given(case=CASES)
def test_the_front_is_what_nothing_beats_on_both(case: Case) -> None:
    """Marked from the shortest list on, against every option there is, likely miss and yarn compared one by one."""
    kit, wish, _, _ = against.told(*case)
    every = find(ask_of(kit, wish), 1000).options
    points = [(o.likely_miss, o.setup.yarn_um) for o in every]
    shown = find(ask_of(kit, wish), 3).options
    for option, mine in zip(shown, points, strict=False):
        beaten = any(a <= mine[0] and b <= mine[1] and (a, b) != mine for a, b in points)
        assert option.front == (not beaten)

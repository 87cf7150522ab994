"""`check`, `sizes`, each loom under --more and a batch say why not as `find` does: the wish, then one law."""

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest

from catalog.kit import Kit, kit_of
from solver import batch
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.why.check import check
from solver.why.explain import explain
from solver.why.sizes import sizes
from tests.command import pegwright
from tests.kits.stories import HALL, STORIES, kit_at, story

POINTING = [name for name, (_, _, says) in STORIES.items() if not says.startswith("No setup")]
OLD = ("because", "no setup fits", ", and you")


def as_clause(says: str) -> str:
    """A sentence without its capital and its full stop."""
    return f"{says[0].lower()}{says[1:].removesuffix('.')}"


def on_each(kit: Kit, wish: Wish) -> dict[str, str]:
    """What `check` says of the looms that do not make it."""
    return {each.loom: each.says for each in check(kit, wish).looms if not each.allows}


@pytest.mark.parametrize("name", POINTING)
def test_a_loom_that_is_named_is_told_of_in_the_words_of_find(name: str) -> None:
    """`check --loom` begins with the very clause of `find --loom`; what is in reach may follow, and is said once."""
    place, wish, _ = STORIES[name]
    kit = kit_at(place)
    for loom in kit.loom:
        own = replace(wish, pins=replace(wish.pins, loom=loom.name))
        told = on_each(kit, own).get(loom.name)
        if told is None:
            continue
        says = explain(kit, own, ask_of(kit, own)).says
        if not says.startswith("No setup") and ", and you" not in says:
            assert told.startswith(as_clause(says)), loom.name
        assert not any(old in told.lower() for old in OLD), told
        assert len(told.split()) <= 45


def test_each_loom_of_an_explanation_is_told_of_alike() -> None:
    """Under --more and in the JSON of a clash; what `check` adds is what is in reach."""
    kit, wish = kit_at(HALL), story("hat", 34)
    looms = explain(kit, wish, ask_of(kit, wish)).looms
    checked = on_each(kit, wish)
    assert looms
    for each in looms:
        assert checked[each.loom].startswith(each.says)
        assert each.says.startswith("34 in round takes ")


WISHES = {
    "a law and a named choice": (
        story("hat", 17, loom="porch ring", yarn="harbour cotton", strands=1, stitch="e-wrap"),
        "you name 1 strand; harbour cotton on the porch ring makes loops of 1.64 in, flimsy beyond 1.61 in"),
    "a length and a band": (
        story("hat", 18, long_um=101_600, band=(127_000, None)),
        "you want the hat 4 in long and the band 4.5 to 5.5 in deep where the nearest in reach is 4.1 in"),
    "no law that stops a way which could be built": (  # more spacers than a bolt takes would do
        story("hat", 21, loom="attic frame", pegs=60, yarn="moss wool", strands=1),
        "you name 60 pegs and want the hat 20.0 to 22.0 in round where the nearest in reach is "),
    "a yarn without a swatch": (
        story("hat", 21, loom="attic frame", measured_only=True, yarn="harbour cotton"),
        "you name harbour cotton; you want measured gauges only and harbour cotton on the attic frame with "),
}  # fmt: skip


@pytest.mark.parametrize("name", WISHES)
def test_wishes_are_said_once(name: str) -> None:
    """The wish by itself, then the law; two wishes in one breath."""
    wish, says = WISHES[name]
    assert any(told.startswith(says) for told in on_each(kit_at(HALL), wish).values())


def test_a_lone_girth_in_reach_is_one() -> None:
    """ "in reach is …" of one, "in reach are … and …" of two, and neither where the sentence has said it."""
    kit = kit_at(HALL)
    assert on_each(kit, story("hat", 21))["porch ring"].endswith("; the porch ring has 40, which makes 13.8 in")


def test_a_frame_that_lacks_a_board_says_the_pegs_first() -> None:
    """Two ends of one size are needed and one is there: nothing can be bolted at all."""
    frame = {
        "name": "attic frame", "build": "boards", "pitch": "9.5 mm", "peg_diameter": "3 mm", "base_gap": "3 mm",
        "side_boards": [{"name": "long", "pegs": 60, "on_hand": 2}],
        "end_boards": [{"name": "end", "pegs": 6, "on_hand": 1}], "ends_anywhere": True,
    }  # fmt: skip
    kit = kit_of({"loom": [frame], "yarn": [{"name": "wool", "weight": 4}]}, "test kit")
    (says,) = on_each(kit, story("hat", 21, strands=1)).values()
    assert says.startswith("21 in round takes ")
    assert "pegs; the attic frame lacks 1 board for that" in says


def test_a_size_and_a_row_of_a_batch_say_the_same(tmp_path: Path) -> None:
    """The cell of the table, the JSON, the CSV and the reason of who goes without."""
    kit = kit_at(HALL)
    says = as_clause(explain(kit, story("hat", 34), ask_of(kit, story("hat", 34))).says)
    (row,) = sizes(kit, Wish("ball", unit="in"), "34in").rows
    assert row.says == says
    ran = pegwright("check", "hat", "--around", "34 in", "--json", here=tmp_path)
    told = [each["says"] for each in json.loads(ran.out)["looms"]]
    assert any(each.startswith(says) for each in told)
    table = pegwright("check", "hat", "--around", "34 in", "--csv", here=tmp_path)
    assert [each["says"] for each in csv.DictReader(io.StringIO(table.out))] == told
    report = batch(kit, [("giant", story("hat", 34))])
    assert report.unserved[0].says == f"no setup of this kit makes it: {says}"

"""Every rule's sentence in every unit: one and many agree, no inner name, no name of a rule but under --more."""

import re
import shlex
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from catalog.errors import InputError
from catalog.kit import Kit, kit_of
from solver import wish
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Pins
from solver.report.clash import ClashReport
from solver.rules import RULES
from solver.search.best_first import find
from solver.why.explain import explain, text_lines
from tests.kits import item_cases, randomkits
from tests.kits.draws import drawn, some_or_many
from tests.solver import against

CASES = Path(__file__).parents[2] / "cases"
NAMES = [rule.name for rule in RULES]
NOUNS = "peg|board|spacer|ball|loop|row|strand|swatch|stitch"
ONE_OF_MANY = re.compile(rf"(?<![\d.])(?!1 )\d[\d.]* (?:more )?(?:[a-z]+ )?(?:{NOUNS})\b(?! width| rib)")
MANY_OF_ONE = re.compile(rf"(?<![\d.])1 (?:more )?(?:{NOUNS})(?:s|es)\b")
VERB_OF_ONE = re.compile(
    rf"(?<![\d.])(?<!with )1 (?:{NOUNS})(?: at every bolt)?(?: (?:of|on) the (?:[^\W\d]| )+)? "
    r"(?:take|make|are|stretch)\b"
    r"|(?<![\d.])1 (?:yd|m) are\b"
)
INNER = re.compile(r"_|None|\{|\}|PieceLimits|-brim-|µ|\bum\b")
SEEN: Counter[str] = Counter()


def wrong(text: str, names: list[str]) -> list[str]:
    """What is wrong with a sentence; names that the user gave are no fault of ours."""
    for name in sorted(names, key=len, reverse=True):
        text = text.replace(name, "thing")
    found = [each.pattern for each in (ONE_OF_MANY, MANY_OF_ONE, VERB_OF_ONE, INNER) if each.search(text)]
    return found + [name for name in NAMES if "-" in name and name in text]


def sentences(report: ClashReport) -> Iterator[str]:
    """Every sentence that is shown without --more, and the clauses of the rules."""
    yield from text_lines(report)
    for each in (*report.clash, *report.looms):
        yield each.says


def named(plain: dict[str, Any]) -> list[str]:
    """The names that the kit gives."""
    entries = [entry for table in plain.values() if isinstance(table, list) for entry in table]
    boards = [board for entry in entries for key in ("side_boards", "end_boards") for board in entry.get(key, ())]
    return [entry["name"] for entry in (*entries, *boards) if "name" in entry]


def judge(plain: dict[str, Any], kit: Kit, wanted: Wish) -> None:
    """Every sentence of a clash in inches and in centimetres."""
    for unit in ("in", "cm"):
        asked = replace(wanted, unit=unit)
        report = explain(kit, asked, ask_of(kit, asked))
        SEEN.update(each.rule for each in report.clash)
        SEEN.update(f"repair {each.rule}" for fix in report.repairs for each in fix.gives)
        for text in sentences(report):
            assert not wrong(text, named(plain)), (text, wrong(text, named(plain)))
        other = " cm" if unit == "in" else " in round"
        assert not any(other in text for text in sentences(report))


@pytest.mark.parametrize(
    ("text", "bad"),
    [
        ("3 peg on the hoop", True), ("1 pegs would do", True), ("1 spacer at every bolt take 12", True),
        ("buy 1 more balls", True), ("the big_ring", True), ("girth-within: no", True), ("buy 2 more long board", True),
        ("3 pegs on the hoop", False), ("1 peg makes none", False), ("buy 1 more ball of wool", False),
        ("21.1 stitches to the inch", False), ("11 pegs take 1 ball", False),
        ("it takes 9 m where 1 m are on hand", True), ("it takes 9 m where 1 m is on hand", False),
    ],
)  # fmt: skip
def test_the_judge_of_words_knows_right_from_wrong(text: str, bad: bool) -> None:
    """What the other tests hold is held by patterns that find such slips and nothing else."""
    assert bool(wrong(text, [])) == bad


def _stories() -> Iterator[tuple[dict[str, Any], Wish]]:
    for path in sorted(CASES.glob("*.toml")):
        case = tomllib.loads(path.read_text(encoding="utf-8"))
        words = shlex.split(case.get("ask", ""))
        if words[:1] == ["find"]:
            options = {w.removeprefix("--").replace("-", "_"): t for w, t in zip(words[2::2], words[3::2], strict=True)}
            yield tomllib.loads(case["kit"]), wish(words[1], **options)  # type: ignore[arg-type]


@some_or_many(80, 1_000, long=True)
def test_every_rule_is_said_in_every_number_and_unit(examples: int) -> None:
    """The stories, and random asks of single pieces, each in both units; together they tell of every rule but two."""
    SEEN.clear()
    for tables, wanted in _stories():
        judge(tables, kit_of(tables, "test kit"), wanted)

    def each(case: tuple[dict[str, Any], dict[str, Any]]) -> None:
        kit, wanted, _, _ = against.told(*case)
        if not find(ask_of(kit, wanted), 1).options:
            judge(case[0], kit, wanted)

    drawn(examples)(given(case=randomkits.cases(gauge_of=against.learned_gauge))(each))()
    assert {*NAMES} - {*SEEN} <= {"opening-pairs"}, SEEN


@some_or_many(12, 100, long=True)
@pytest.mark.parametrize("item", ["mittens", "slippers", "socks"])
def test_lesser_pieces_are_said_by_their_names(item: str, examples: int) -> None:
    """Thumbs and heels: no inner name, one and many."""

    @drawn(examples)
    @given(case=item_cases.cases(item))
    def each(case: tuple[Any, Any, Any]) -> None:
        plain, words, _ = case
        tables, wanted = item_cases.told(item, plain, words)
        kit = against.kit_from(tables)
        try:
            none = not find(ask_of(kit, wanted), 1).options
        except InputError:  # a length that leaves no rows
            return
        if none:
            judge(tables, kit, wanted)

    each()


def test_an_item_is_called_by_what_it_is() -> None:
    """ "hat-brim-first" is an item's name at the command; a knitter reads "hat"."""
    kit = kit_of(
        {
            "loom": [{"name": "hoop", "build": "ring", "pitch": "10 mm", "peg_diameter": "4 mm", "pegs": 40}],
            "yarn": [{"name": "wool", "weight": 5}],
        },
        "test kit",
    )
    wanted = Wish("hat-brim-first", around_um=533_400, unit="in", pins=Pins(strands=1))
    report = explain(kit, wanted, ask_of(kit, wanted))
    assert not any("brim" in text for text in sentences(report))
    assert any("make the hat " in fix.says for fix in report.repairs)


ONE_RING = {"name": "hoop", "build": "ring", "pitch": "10 mm", "peg_diameter": "4 mm", "pegs": 40}
ONE_FRAME = {
    "name": "frame", "build": "boards", "pitch": "10 mm", "peg_diameter": "4 mm", "base_gap": "3 mm",
    "bolts_per_board": 1, "spacers": {"thickness": "1 mm", "most": 2, "on_hand": 1},
    "side_boards": [{"name": "side", "pegs": 20, "on_hand": 2}], "ends_anywhere": True,
}  # fmt: skip
ONES = {
    "one yard": (
        ONE_RING, {"length_per_ball": "1.5 yd", "balls": 1}, {"around_um": 231_000}, "where 1 yd is on hand"),
    "one metre": (
        ONE_RING, {"length_per_ball": "1.5 m", "balls": 1}, {"around_um": 231_000, "unit": "cm"},
        "where 1 m is on hand"),
    "one spacer": (ONE_FRAME, {}, {"around_um": 350_000, "pins": Pins(spacers=1)},
        "1 spacer at every bolt of the frame takes 2 where 1 is on hand"),
    "several spacers": (ONE_FRAME, {}, {"around_um": 350_000, "pins": Pins(spacers=2)},
        "2 spacers at every bolt of the frame take 4 where 1 is on hand"),
}  # fmt: skip


@pytest.mark.parametrize("name", ONES)
def test_of_one_it_is_and_of_several_they_are(name: str) -> None:
    """One yard is on hand, one spacer takes, several take."""
    loom, yarn, words, says = ONES[name]
    kit = kit_of({"loom": [loom], "yarn": [{"name": "wool", "weight": 5, **yarn}]}, "test kit")
    wanted = Wish("hat", **{"unit": "in", **words})
    told = list(sentences(explain(kit, wanted, ask_of(kit, wanted))))
    assert any(says in text for text in told), told
    assert not any(wrong(text, ["wool", "hoop", "frame", "side"]) for text in told)

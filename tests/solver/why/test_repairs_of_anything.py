"""Impossible asks for every item, of every size from tiny to huge, in typed words: each repair is what it says."""

import re
from collections import Counter
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import InputError
from catalog.item import item, item_names
from solver.asking.ask_of import ask_of
from solver.asking.words import takes_across
from solver.report.clash import RepairPlan
from solver.why.explain import explain
from tests.kits import randomkits
from tests.kits.draws import drawn, some_or_many
from tests.kits.item_cases import SMALL
from tests.kits.reasked import bought, first_option, retyped
from tests.solver.against import kit_from

Plain = dict[str, Any]
SEEN: Counter[str] = Counter()
LENGTHS = (
    "3 mm",
    "1 in",
    "5 cm",
    "4 in",
    "17 cm",
    "9 in",
    "30 cm",
    "15 in",
    "53 cm",
    "27 in",
    "40 in",
    "2 m",
    "150 in",
)


@st.composite
def asked(draw: st.DrawFn, name: str) -> tuple[Plain, dict[str, str]]:
    """The tables of a kit and the words of an ask, near no way of that kit in particular."""
    kit, recipe = draw(randomkits.kits()), item(name)
    kit["loom"] = [*kit["loom"], *draw(st.sampled_from(([], SMALL[:1], SMALL)))]
    size = "wide" if recipe.flat else draw(st.sampled_from(("around", "across"))) if takes_across(recipe) else "around"
    words = {size: draw(st.sampled_from(LENGTHS))}
    if recipe.takes_long and (name in ("panel", "bolster") or draw(st.booleans())):
        words["long"] = draw(st.sampled_from(LENGTHS))
    pins = {"loom": draw(st.sampled_from(kit["loom"]))["name"], "yarn": draw(st.sampled_from(kit["yarn"]))["name"]}
    more = {
        **pins, "sure": draw(st.sampled_from(("20%", "60%", "90%", "99%"))), "gauge": "measured", "spacers": "1",
        "girth_within": "4 mm", "strands": "2", "rib": "2x2",
    }  # fmt: skip
    for word in draw(st.lists(st.sampled_from(sorted(more)), max_size=2, unique=True)):
        if word != "rib" or recipe.rib:
            words[word] = more[word]
    return kit, words


def with_more_swatches(tables: Plain, fix: RepairPlan) -> Plain:
    """The tables with what is to be bought, and so many more swatches, each counted as the option has it."""
    more = bought(tables, [change for change in fix.kit if change.table != "swatch"])
    for change in fix.kit:
        if change.table == "swatch":
            option, n = fix.option, max(1, int(101_600 / fix.option.stitch_width_um + 0.5))
            each = {
                "loom": option.loom, "spacers": option.spacers, "yarn": option.yarn, "strands": option.strands,
                "stitch": option.stitch,
                "stitches": {"count": n, "over": f"{n * option.stitch_width_um / 1000} mm"},
                "rows": {"count": n, "over": f"{n * option.row_height_um / 1000} mm"},
            }  # fmt: skip
            more["swatch"] = [*more.get("swatch", ()), *(deepcopy(each) for _ in range(int(change.now - change.was)))]
            SEEN["swatches"] += 1
    return more


def _is_what_it_says(tables: Plain, name: str, fix: RepairPlan) -> None:
    """Its words typed again give its setup first; nothing less of the same kind would do."""
    again, after = retyped(name, fix.asks), with_more_swatches(tables, fix)
    found = first_option(kit_from(after), again)
    assert found is not None, (fix.says, fix.asks)
    if any(change.table == "swatch" for change in fix.kit):
        assert (found.loom, found.yarn, found.strands, found.pegs) == (
            fix.option.loom, fix.option.yarn, fix.option.strands, fix.option.pegs,
        )  # fmt: skip
        return
    assert found == fix.option.model_copy(update={"front": True}), (fix.says, fix.asks)
    if len(fix.kit) == 1 and len(fix.gives) == 1 and fix.kit[0].now - fix.kit[0].was > 1:
        SEEN["one less"] += 1
        less = bought(tables, [fix.kit[0].model_copy(update={"now": fix.kit[0].now - 1})])
        assert first_option(kit_from(less), again) is None, fix.says
    sure = re.fullmatch(r"(\d+)%", fix.asks.get("sure", ""))
    if sure and "sure-enough" in [give.rule for give in fix.gives]:
        SEEN["less sure"] += 1
        assert first_option(kit_from(after), retyped(name, fix.asks | {"sure": f"{int(sure[1]) + 1}%"})) is None


@some_or_many(6, 80)
@pytest.mark.parametrize("name", item_names())
def test_each_repair_of_an_impossible_ask_is_what_it_says(name: str, examples: int) -> None:
    """The slow ones: 80 asks for each of eleven items, 46 or more of them without a setup, so 506 in all."""

    @drawn(examples)
    @given(case=asked(name))
    def each(case: tuple[Plain, dict[str, str]]) -> None:
        tables, words = case
        kit = kit_from(tables)
        try:
            wanted = retyped(name, words)
            ask = ask_of(kit, wanted)
        except InputError:
            SEEN["no such ask"] += 1
            return
        if first_option(kit, wanted) is not None:
            return
        SEEN["none"] += 1
        for fix in explain(kit, wanted, ask).repairs:
            SEEN["repairs"] += 1
            _is_what_it_says(tables, name, fix)

    SEEN.clear()
    each()
    assert SEEN["none"] >= examples * 46 // 80, SEEN
    assert SEEN["repairs"] >= examples // 4, SEEN

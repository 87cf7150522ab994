"""Plans to draw sheets from: the best option of an item on the built-in kit, at a middling size."""

from __future__ import annotations

from functools import cache
from typing import Any

from catalog.item import item
from catalog.kit import built_in_kit
from solver.answer import Answer, answer
from solver.plan import OptionPlan
from solver.wish import Wish

AROUND = {"head": 533_400, "neck": 609_600, "hand": 190_500, "foot": 228_600}
LONG = {"hand": 228_600, "foot": 254_000}


@cache
def wish_for(name: str, rib: str | None = None, unit: str = "in", **more: Any) -> Wish:
    """A wish for an item at a size that an adult wears."""
    body = item(name).body
    values: dict[str, Any] = {"around_um": AROUND.get(body or "", 406_400)} | more
    if item(name).flat:
        values["wide_um"] = values.pop("around_um")
    if item(name).long is None and item(name).takes_long:
        values.setdefault("long_um", LONG.get(body or "", 254_000))
    return Wish(name, rib=rib, unit=unit, **values)


@cache
def answer_for(name: str, rib: str | None = None, unit: str = "in", top: int = 1, **more: Any) -> Answer:
    """What is found for it; at least one option, or the test that asks is at fault."""
    found = answer(built_in_kit(), wish_for(name, rib, unit, **more), top)
    assert found.report.options, f"no {name} with {rib} rib"
    return found


def option_for(name: str, rib: str | None = None, **more: Any) -> OptionPlan:
    """The best option."""
    return answer_for(name, rib, **more).report.options[0]

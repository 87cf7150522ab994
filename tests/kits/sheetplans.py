"""Plans to draw sheets from: the best option of an item on the built-in kit, at a middling size."""

from __future__ import annotations

from functools import cache
from typing import Any

from catalog.item import item, item_names, kinds
from catalog.kit import built_in_kit
from solver.asking.wish import Wish
from solver.plan.answer import Answer, answer
from solver.plan.saved import SavedPlan, plan_of

AROUND = {"head": 533_400, "hand": 190_500, "foot": 228_600}
RIBS = sorted(k.rib for k in kinds().values() if k.rib)
CASES = [
    (name, rib)
    for name in item_names()
    for rib in ([None] if item(name).rib_optional else []) + (RIBS if item(name).rib or item(name).rib_optional else [])
    or [None]
]


@cache
def wish_for(name: str, rib: str | None = None, unit: str = "in", **more: Any) -> Wish:
    """A wish for an item at a size that an adult wears."""
    recipe = item(name)
    values: dict[str, Any] = dict(more)
    if not {"around_um", "body_um", "wide_um", "size", "age", "wearer"} & set(values):
        values |= {"wide_um": 203_200} if recipe.flat else {"around_um": AROUND.get(recipe.body or "", 406_400)}
    if recipe.long is None and any("long" in form for piece in recipe.piece for form in piece.forms):
        values.setdefault("long_um", 254_000)
    return Wish(name, rib=rib, unit=unit, **values)


@cache
def answer_for(name: str, rib: str | None = None, unit: str = "in", top: int = 1, **more: Any) -> Answer:
    """What is found for it; at least one option, or the test that asks is at fault."""
    found = answer(built_in_kit(), wish_for(name, rib, unit, **more), top)
    assert found.report.options, f"no {name} with {rib} rib"
    return found


@cache
def plan_for(name: str, rib: str | None = None, unit: str = "in", rank: int = 1, **more: Any) -> SavedPlan:
    """The plan of one option, the best unless another rank is asked for."""
    answered = answer_for(name, rib, unit, rank, **more)
    return plan_of(answered, wish_for(name, rib, unit, **more), None, rank)

"""A repair of an ask that nothing answers: what it says, where it leads, and what it buys, written into the kit."""

from collections.abc import Mapping
from functools import partial
from typing import Any
from urllib.parse import urlencode

from catalog.kitfile import Table, change_entry
from solver.report.clash import ClashReport, RepairPlan
from solver.web.house import House
from solver.web.pages import Form

TABLES: dict[str, Table] = {"loom": "loom", "yarn": "yarn"}


def shown_repair(repair: RepairPlan, item: str, words: Form) -> dict[str, Any]:
    """A repair for a page: a link, a swatch to knit, or a form that says that what it buys is there now.

    A swatch is written down in its form, which begins with the setting and leads back to the ask.
    """
    swatch = any(each.unit == "swatches" for each in repair.gives)
    best = repair.option
    setting = {"loom": best.loom, "spacers": best.spacers, "yarn": best.yarn, "strands": best.strands}
    return {
        "says": repair.says,
        "href": after(repair, item),
        "buys": bool(repair.kit) and not swatch,
        "swatch": _swatch_form(setting | {"stitch": best.stitch}, words) if swatch else "",
        "words": {**words, "says": repair.says},
    }


def _swatch_form(setting: Mapping[str, Any], words: Form) -> str:
    """The form of a swatch of a setting, with the ask to come back to."""
    return "/cupboard/swatches/new?" + urlencode({**setting, "back": urlencode(words)})


def found_repair(clash: ClashReport | None, says: str) -> RepairPlan | None:
    """The repair that a form was made for: named by its sentence, so that no key of the kit comes from a browser."""
    return next((each for each in clash.repairs if each.says == says), None) if clash else None


def buy(house: House, repair: RepairPlan, entries: Mapping[str, list[dict[str, Any]]]) -> None:
    """Write down what a repair buys; `entries` are the tables as the kit's file has them. One undo for each entry."""
    for table, name in {(each.table, each.name): None for each in repair.kit}:
        entry = next((e for e in entries.get(table, []) if e.get("name") == name), None)
        if table not in TABLES or entry is None:
            continue
        changes: dict[str, Any] = {}
        for each in repair.kit:
            if (each.table, each.name) == (table, name):
                top, *inner = each.key.split(".")
                changes[top] = _with(changes.get(top, entry.get(top)), inner, each.now)
        house.change(
            f"{name}, what was bought", partial(change_entry, table=TABLES[table], which=name, changes=changes)
        )


def _with(value: Any, keys: list[str], now: float) -> Any:
    """A value of the kit with one number in it changed: boards are found by their name."""
    if not keys:
        return int(now) if now == int(now) else now
    first, *rest = keys
    if isinstance(value, list):
        return [{**each, **_with(each, rest, now)} if each.get("name") == first else each for each in value]
    return {**value, first: _with(value.get(first), rest, now)}


def after(repair: RepairPlan, item: str) -> str:
    """The address of the ask that a repair leads to."""
    return "/make?" + urlencode({"item": item, **{key.replace("-", "_"): text for key, text in repair.asks.items()}})

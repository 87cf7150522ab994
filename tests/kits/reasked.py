"""A repair tried as a person would: its words typed again, what is to be bought added to the kit's own tables."""

from copy import deepcopy
from dataclasses import replace
from typing import Any

from catalog.kit import Kit, kit_of
from solver import find, wish
from solver.asking.wish import Wish
from solver.report.clash import KitChange, RepairPlan
from solver.report.find import FindReport, OptionPlan

Plain = dict[str, Any]


def retyped(item: str, asks: dict[str, str]) -> Wish:
    """The wish that the words of a repair read as."""
    return wish(item, **{word.replace("-", "_"): text for word, text in asks.items()})  # type: ignore[arg-type]


def bought(plain: Plain, changes: list[KitChange]) -> Plain:
    """The tables of a kit with what is to be bought; what was on hand must be what is said."""
    tables = deepcopy(plain)
    for change in changes:
        here: Any = next(entry for entry in tables[change.table] if entry["name"] == change.name)
        *steps, last = _steps(change.key)
        for step in steps:
            here = here[step] if isinstance(here, dict) else next(each for each in here if each["name"] == step)
        assert here[last] == change.was
        here[last] = int(change.now) if last == "on_hand" else change.now
    return tables


def _steps(key: str) -> list[str]:
    """The keys on the way to a number; the name of a board may have a dot in it."""
    if not key.endswith(".on_hand"):
        return [key]
    first, _, board = key.removesuffix(".on_hand").partition(".")
    return [first, *([board] if board else []), "on_hand"]


def first_option(kit: Kit, asked: Wish) -> OptionPlan | None:
    """What comes first, its place on the front aside; None where nothing does."""
    report = find(kit, replace(asked, top=1))
    return report.options[0].model_copy(update={"front": True}) if isinstance(report, FindReport) else None


def judge(plain: Plain, item: str, fix: RepairPlan) -> None:
    """Asking in the repair's words, of the kit as changed, gives its setup as the first option."""
    found = first_option(kit_of(bought(plain, fix.kit), "test kit"), retyped(item, fix.asks))
    assert found == fix.option.model_copy(update={"front": True}), (fix.says, fix.asks, fix.kit)

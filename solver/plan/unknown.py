"""Keys of a saved plan that this pegwright does not know: passed over, for a later one may have written them.

A slip of the pen is told from such a key by what is missing beside it: a plan holds all its keys, so a later one has
those of today too. A key that nobody knows, near one that could stand there and does not, is an error.
"""

from collections.abc import Iterator
from dataclasses import fields
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter, ValidationError

from catalog.errors import InputError, Problem, near, shown
from catalog.shapes import key_text, keys_at
from solver.asking.wish import Wish
from solver.model.ask import Pins

if TYPE_CHECKING:
    from solver.plan.saved import SavedPlan

Path = tuple[Any, ...]


def pass_over(model: "type[SavedPlan]", found: dict[str, Any], source: str) -> None:
    """Take out of a plan what it does not know. Raises InputError for the keys that were meant to be others."""
    slips = []
    for path, known in (*_of_reports(model, found), *_of_wish(found)):
        *way, key = path
        table = found
        for step in way:
            table = table[step]
        if meant := near(str(key), [name for name in known if name not in table]):
            hint = f"did you mean {shown(meant)}?"
            slips.append(Problem(key_text(path), "found a key that has no meaning here", hint))
        else:
            del table[key]
    if slips:
        raise InputError(source, *slips)


def _of_reports(model: "type[SavedPlan]", found: dict[str, Any]) -> Iterator[tuple[Path, list[str]]]:
    """The keys that the published models do not know, each with those that could stand in its place."""
    try:
        model.model_validate(found)
    except ValidationError as error:
        wrong = error.errors(include_url=False, include_input=False, include_context=False)
        yield from ((e["loc"], keys_at(model, e["loc"])) for e in wrong if e["type"] == "extra_forbidden")


def _of_wish(found: dict[str, Any]) -> Iterator[tuple[Path, list[str]]]:
    """Those of the wish and its pins: plain records, whose unknown keys pydantic drops without a word."""
    wish = found.get("wish")
    pins = wish.get("pins") if isinstance(wish, dict) else None
    for way, table, empty in ((("wish",), wish, Wish("")), (("wish", "pins"), pins, Pins())):
        known = {each.name for each in fields(empty)}
        strays = [key for key in table if key not in known] if isinstance(table, dict) else []
        # what a plan never keeps is missing from every plan, so no key was meant to be that
        kept = list(TypeAdapter(type(empty)).dump_python(empty)) if strays else []
        yield from (((*way, key), kept) for key in strays)

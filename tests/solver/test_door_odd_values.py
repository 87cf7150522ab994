"""Values of a wrong kind at the Python door: each an InputError with the field that it stood in, nothing bare."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from catalog.errors import InputError
from solver import adjust, batch, load_kit, sheet, sizes, wish
from solver.asking.words import WORDS
from solver.door import answer, kept_as, load_plan, plan_of, text_asks
from solver.plan.answer import Answer
from solver.plan.saved import SavedPlan

HAT, NAN, WIDE, HIGH = wish("hat", around="21 in", top=1), Decimal("sNaN"), "17 over 4 in", "24 over 4 in"
LONG = "a" * 5_000


@cache
def found() -> Answer:
    """A hat of the built-in kit."""
    return answer(load_kit(), HAT)


@cache
def plan() -> SavedPlan:
    """Its best option."""
    return plan_of(found(), HAT)


def halfway(stitches: Any = WIDE, rows: Any = HIGH, done: Any = 5) -> Any:
    """A second look at it."""
    return adjust(load_kit(), plan(), rows_done=done, stitches=stitches, rows=rows)


CALLS: dict[str, tuple[set[str], Callable[[], Any]]] = {
    "same is a number": ({"same"}, lambda: sizes(load_kit(), wish("hat"), "21in", same=3)),  # type: ignore[arg-type]
    "same holds one": ({"same"}, lambda: sizes(load_kit(), wish("hat"), "21in", same=[3])),  # type: ignore[list-item]
    "same is None": ({"same"}, lambda: sizes(load_kit(), wish("hat"), "21in", same=None)),  # type: ignore[arg-type]
    "words are a number": ({"words"}, lambda: sheet(load_kit(), HAT, 1, 3)),  # type: ignore[arg-type]
    "words are a list": ({"words"}, lambda: sheet(load_kit(), HAT, 1, [])),  # type: ignore[arg-type]
    "words are None": ({"words"}, lambda: sheet(load_kit(), HAT, 1, None)),  # type: ignore[arg-type]
    "no stitches": ({"stitches"}, lambda: halfway(stitches=None)),
    "no rows": ({"rows"}, lambda: halfway(rows=None)),
    "neither": ({"stitches", "rows"}, lambda: halfway(None, None)),
    "neither is kept": ({"stitches", "rows"}, lambda: kept_as(load_kit(), plan(), None, None)),  # type: ignore[arg-type]
    "rows done is no number": ({"rows_done"}, lambda: halfway(done=NAN)),
    "half an option": ({"option"}, lambda: plan_of(found(), HAT, option=1.5)),  # type: ignore[arg-type]
    "an option in words": ({"option"}, lambda: plan_of(found(), HAT, option="best")),  # type: ignore[arg-type]
    "no number as option": ({"option"}, lambda: plan_of(found(), HAT, option=NAN)),  # type: ignore[arg-type]
    "a truth as option": ({"option"}, lambda: plan_of(found(), HAT, option=True)),
    "no answer": ({"answer"}, lambda: plan_of(3, HAT)),  # type: ignore[arg-type]
    "a kit that is no name": ({"kit"}, lambda: plan_of(found(), HAT, 3)),  # type: ignore[arg-type]
    "turns are no number": ({"turns"}, lambda: batch(load_kit(), [("a", HAT)], turns=NAN)),  # type: ignore[arg-type]
    "a text that is none": ({"asks"}, lambda: text_asks(load_kit(), 3)),  # type: ignore[arg-type]
    "recipes of a long name": ({"recipes"}, lambda: wish("hat", recipes=LONG)),
    **{
        f"{word} is {name}": ({word}, lambda word=word, value=value: wish("hat", **{word: value}))  # type: ignore[misc]
        for word in ("around", "top", "pegs", "sure", "seconds", "yarn_price", "all_pegs", "loom")
        for name, value in (("too long a number", Fraction(10**5_000, 3)), ("a list of it", [10**5_000]), ("NaN", NAN))
    },
}


@pytest.mark.parametrize("call", CALLS)
def test_a_value_of_a_wrong_kind_is_refused_by_its_field(call: str) -> None:
    """A TypeError, an IndexError, an AttributeError, an InvalidOperation or a ValueError came out of most of these."""
    expected, made = CALLS[call]
    with pytest.raises(InputError) as caught:
        made()
    assert {fault.field for fault in caught.value.faults} == expected


@pytest.mark.parametrize(
    "made",
    [lambda: load_plan(LONG), lambda: load_kit(LONG), lambda: batch(load_kit(), LONG),
     lambda: adjust(load_kit(), LONG, rows_done=5, stitches=WIDE, rows=HIGH)],
)  # fmt: skip
def test_a_file_name_that_no_system_takes(made: Callable[[], Any]) -> None:
    """An OSError once, from asking whether it is a folder."""
    with pytest.raises(InputError, match="cannot be read: File name too long"):
        made()


@pytest.mark.parametrize("item", ["hat", "panel", "ball", "socks", "no such item"])
def test_of_all_words_wrong_each_is_told(item: str) -> None:
    """Thirty faults, none left out for another's sake."""
    for value in ("\x1b", -1, object(), []):
        with pytest.raises(InputError) as caught:
            wish(item, **dict.fromkeys(WORDS, value))  # type: ignore[misc]
        names = {"loom", "yarn", "wearer"} if isinstance(value, str) else set()  # any text may be a name
        assert {*WORDS} - names <= {fault.field for fault in caught.value.faults}

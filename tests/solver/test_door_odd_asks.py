"""Asks that can be read, but make odd sense together: a report, or an InputError with fields; nothing bare."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import InputError
from catalog.item import item_names
from solver import Undecided, check, find, load_kit, sizes, wish
from tests.kits.draws import drawn, some_or_many

KIT = load_kit()
LENGTHS = st.sampled_from(["1 mm", "1 cm", "8 in", "21½ in", "54 cm", "1 m", "5 m"])
NUMBERS = st.sampled_from(["0", "0.1", "100", "3.5"])
WORDS: dict[str, st.SearchStrategy[Any]] = {
    **dict.fromkeys(("around", "across", "body", "wide", "long", "girth_within", "length_within"), LENGTHS),
    "fit": st.sampled_from(["loose", "true", "close", "snug"]),
    "ease": st.sampled_from(["-50 cm", "-1 in", "0 in", "5 m"]),
    "rib": st.sampled_from(["1x1", "2 x 2", "3x1"]),
    "band": st.sampled_from(["1 mm", "2 in", "1in..2in", "0..5 m", "40 cm..50 cm"]),
    "stitch": st.sampled_from(["u-wrap", "e-wrap"]),
    "wearer": st.sampled_from([each.name for each in KIT.wearer] + ["nobody"]),
    "size": st.sampled_from(["newborn", "6 years", "adult-man"]),
    "age": st.sampled_from(["0 days", "newborn", "18 months", "7 years", "120 years"]),
    "sex": st.sampled_from(["female", "male"]),
    "loom": st.sampled_from([each.name for each in KIT.loom]),
    "yarn": st.sampled_from([each.name for each in KIT.yarn]),
    "pegs": st.sampled_from([1, 2, 40, 41, 400]),
    "spacers": st.integers(0, 8),
    "strands": st.integers(1, 6),
    "gauge": st.sampled_from(["all", "measured"]),
    "sure": st.sampled_from(["0.000001", "80%", "0.999999"]),
    "yarn_price": NUMBERS,
    "risk_weight": NUMBERS,
    "units": st.sampled_from(["in", "cm"]),
    "top": st.sampled_from([1, 3]),
    "all_pegs": st.booleans(),
}
ASKS = st.lists(st.sampled_from(sorted(WORDS)), max_size=5, unique=True).flatmap(
    lambda names: st.fixed_dictionaries({name: WORDS[name] for name in names})
)


@some_or_many(40, 1_500, long=True)
def test_whatever_can_be_read_is_answered_or_refused_by_its_fields(examples: int) -> None:
    """Each item with up to five words and a girth: find, and for every fourth check and sizes too."""
    seen = {"answered": 0, "refused": 0}

    @drawn(examples)
    @given(st.sampled_from(item_names()), ASKS, st.integers(0, 11))
    def ask(item: str, words: dict[str, Any], more: int) -> None:
        girth = {} if more < 3 else {"wide" if item == "panel" else "around": "54 cm"}
        seen["answered" if answered(item, {**girth, **words, "seconds": 2}, more) else "refused"] += 1

    ask()
    assert seen["answered"] > examples // 10, seen
    assert seen["refused"] > examples // 10, seen


def answered(item: str, words: dict[str, Any], more: int) -> bool:
    """Whether there is an answer; where there is none, every fault is of a word of an ask."""
    try:
        read = wish(item, kit=KIT, **words)
        if more == 0:
            check(KIT, read)
        elif more == 1:
            sizes(KIT, read, "21in,adult-man")
        else:
            find(KIT, read)
    except Undecided:
        return True
    except InputError as error:
        return not of_words(error)
    return True


def of_words(error: InputError) -> bool:
    """Every fault of it is of a word of an ask, and it can be said."""
    assert error.faults == error.problems, str(error)
    assert "--" not in str(error)
    return True

"""Where lesser pieces are worked: with the main piece where they fit, else on another loom; speed on a big kit."""

from dataclasses import replace

import pytest

from solver.asking.ask_of import ask_of
from solver.model.ask import Pins
from solver.search.best_first import find
from solver.search.option import Option
from tests.kits.edges import MITTENS, RAKE_SWATCH, THUMB_RAKE, WEARER
from tests.kits.small import kit_with


def options(stitches: int, *more: tuple[str, object]) -> list[Option]:
    """Mittens on a rake, with a thumb rake that is counted at so many stitches over 120 mm."""
    small = {**RAKE_SWATCH, "loom": "thumb rake", "stitches": {"count": stitches, "over": "120 mm"}}
    kit = kit_with(
        ("swatch.0", RAKE_SWATCH), ("swatch.1", small), ("loom.3", THUMB_RAKE), ("wearer.0", WEARER),
        ("yarn.0.wraps_per_inch", 13), *more,
    )  # fmt: skip
    return list(find(ask_of(kit, MITTENS), 9).options)


def looms(stitches: int, *more: tuple[str, object]) -> list[list[str]]:
    """The looms of hand and thumb in each of these options."""
    return [[w.loom.name for w in o.cell.ways] for o in options(stitches, *more)]


def test_a_thumb_goes_where_it_fits() -> None:
    """Twelve pegs are fewer than the rake's twenty: the thumb goes to the small one, with the same yarn."""
    assert looms(20) == [["rake", "thumb rake"]]


def test_a_thumb_that_fits_stays() -> None:
    """Once the rake goes down to 12 pegs, the thumb is worked there, though another loom would be as good."""
    assert looms(20, ("loom.2.pegs_least", 12)) == [["rake", "rake"]]


@pytest.mark.parametrize(("stitches", "fits"), [(21, True), (30, False)])
def test_the_opening_fits_at_the_gauge_it_lies_in(stitches: int, fits: bool) -> None:
    """At 30 stitches over 120 mm a thumb of 72 mm has 18 pegs; as an opening of 6 mm stitches they are 108 mm.

    So it is not worked there, but flat where the hand is.
    """
    assert looms(stitches) == [["rake", "thumb rake" if fits else "rake"]]
    assert options(stitches)[0].setup.pieces[1].ask.flat != fits


def test_yarn_adds_up_over_pieces_and_copies() -> None:
    """93.336124 m for the pair with its thumbs: just enough on the ball; a thousandth of a mm short, a row fewer.

    2 · (26.263 · 30 · 51 + 330 + 990 + 220 + 330) + 2 · (26.263 · 12 · 12 + 118.8 + 385 + 330) mm.
    """
    ball = ("yarn.0.balls", 1), ("yarn.0.mass_per_ball", "25 g")
    enough, short, none = (
        options(20, *ball, ("yarn.0.length_per_ball", length)) for length in ("93336.124 mm", "93336.123 mm", "60 m")
    )
    assert [o.setup.yarn_um for o in enough] == [93_336_124]
    assert [sum(p.rows_total for p in o.setup.pieces) for o in (*enough, *short)] == [62, 61]
    assert none == []


def test_a_choice_of_places_takes_the_best() -> None:
    """Of two small rakes that would do the nearer one is taken, whatever its name.

    The thumb is 57.6 mm: 12 rows of 4.762 mm miss 0.5 mm, 12 of 5 mm 2.4, and 10 of 5.5 mm 2.6.
    """
    other = {**THUMB_RAKE, "name": "a rake"}
    swatch = {**RAKE_SWATCH, "loom": "a rake", "rows": {"count": 21, "over": "100 mm"}}
    assert looms(20, ("loom.4", other), ("swatch.2", swatch)) == [["rake", "a rake"]]
    swatch["rows"] = {"count": 20, "over": "110 mm"}
    assert looms(20, ("loom.4", other), ("swatch.2", swatch)) == [["rake", "thumb rake"]]


def test_the_order_of_looms_in_the_kit_does_not_show() -> None:
    """Options and places are those of names, not of lines in a file."""
    kit = kit_with(("loom.3", THUMB_RAKE), ("wearer.0", WEARER))
    turned = kit.model_copy(update={"loom": kit.loom[::-1]})
    wish = replace(MITTENS, pins=Pins(), measured_only=False)
    first, second = (find(ask_of(k, wish), 20).options for k in (kit, turned))
    assert first
    assert [([w.key for w in o.cell.ways], o.score) for o in first] == [
        ([w.key for w in o.cell.ways], o.score) for o in second
    ]

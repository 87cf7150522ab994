"""Random kits and sizes for every item beside the hats, as the oracle and as the solver are asked for them."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from catalog.units import plain_mm
from solver.asking.wish import Wish
from tests import oracle
from tests.kits import randomkits
from tests.solver.against import RIB, learned_gauge

Plain = dict[str, Any]
BODY = {"mittens": "hand", "slippers": "foot", "socks": "foot", "cowl": "head"}
# Small looms, where thumbs and heels that fit nowhere else may go.
SMALL = [
    {
        "name": "thumb rake",
        "build": "slider",
        "pitch": "8 mm",
        "peg_diameter": "3 mm",
        "pegs_least": 4,
        "pegs_most": 40,
    },
    {"name": "cup ring", "build": "ring", "pitch": "9.5 mm", "peg_diameter": "3 mm", "pegs": 14},
]


@st.composite
def cases(draw: st.DrawFn, item: str) -> tuple[Plain, Plain, Plain]:
    """A kit, the size of an item near what one of its ways would make, as the words of a recipe, and what is priced."""
    kit = draw(randomkits.kits())
    kit["loom"] = [*kit["loom"], *draw(st.sampled_from(([], SMALL[:1], SMALL)))]
    gauge = learned_gauge(kit)
    nothing = oracle.make_ask("hat", 500_000, 200_000)
    ways = list(oracle.ways(kit, nothing, gauge))
    fair = [way for way in ways if not set(oracle.way_breaks(nothing, way)) and randomkits._standing(way.loom)]
    way = draw(st.sampled_from(fair or ways))
    width, height = way.gauge.width_um, way.gauge.height_um
    pegs = draw(st.sampled_from([n for n in randomkits._standing(way.loom) if n % 2 == 0] or [24]))
    if item == "panel":
        pegs = draw(st.integers(6, max(6, pegs // 2 + 1)))
    around = max(40_000, pegs * width + draw(st.integers(-width, width)) // 2)
    long = draw(st.integers(20, 60)) * height + draw(st.integers(-height, height)) // 2
    words: Plain = {"around": around, "long": long, "repeat": draw(st.sampled_from((2, 3, 4)))}
    if item == "panel":
        words["repeat"] = draw(st.sampled_from((1, 2, 3, 4)))
    if item == "mittens":
        words["hand_length"] = max(10_000, long - draw(st.integers(2, 12)) * height)
    if item in ("slippers", "socks"):
        words["foot_length"] = long * draw(st.integers(60, 95)) // 100
        words["heel"] = around * draw(st.sampled_from((130, 150, 158, 165))) // 100
    if item == "cowl" and draw(st.booleans()):
        words["head"] = around * draw(st.sampled_from((95, 130, 155, 160, 165))) // 100
        words["neck"] = around * draw(st.sampled_from((60, 90, 93, 97))) // 100
    prices = {"price": draw(st.sampled_from((Fraction(1, 10), Fraction(0), Fraction(1))))}
    prices["risk_weight"] = draw(st.sampled_from((Fraction(1), Fraction(1, 2), Fraction(0))))
    return kit, words, prices


def told(item: str, kit: Plain, words: Plain) -> tuple[Plain, Wish]:
    """The kit with a wearer of just that size, and the Wish."""
    wish = Wish(item, rib=RIB.get(words["repeat"]), unit="cm")
    if item == "cowl" and "head" not in words:
        return kit, replace(wish, around_um=words["around"], long_um=words["long"])
    if item in BODY:
        own = {
            name: f"{plain_mm(words[name])} mm"
            for name in ("hand_length", "foot_length", "heel", "neck")
            if name in words
        }
        body = words.get("head", words["around"])
        kit = kit | {"wearer": [{"name": "knitter", BODY[item]: f"{plain_mm(body)} mm", **own}]}
        return kit, replace(wish, wearer="knitter", ease_um=words["around"] - body, long_um=words["long"])
    if item == "panel":
        return kit, replace(wish, wide_um=words["around"], long_um=words["long"])
    wish = replace(wish, around_um=words["around"], rib=None)
    return kit, replace(wish, long_um=words["long"]) if item == "bolster" else wish

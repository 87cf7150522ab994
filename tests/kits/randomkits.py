"""Random small kits and asks for hypothesis, as plain dicts: what `tomllib` reads from a kit file, and the words of
`tests.oracle.make_ask`. Asks lie around sizes that the kit can reach, so that "found" and "none" are both common."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from tests import oracle

Draw = st.DrawFn
Plain = dict[str, Any]

# Capitals, digits and accents: sorted by code point they stand otherwise than in a dictionary.
LOOM_NAMES = ("attic frame", "Zinc frame", "porch ring", "Éva's rake", "10-peg hoop", "long rake", "änger loom")
YARN_NAMES = ("moss wool", "Lamp cotton", "ash-grey", "2nd skein", "Öre twist", "plum", "_odd ball")
BOARD_NAMES = ("short", "Long", "middle", "ñ board")


def _one_in(number: int) -> st.SearchStrategy[bool]:
    """True about once in `number`: hypothesis likes 0 better than the other integers, but no one choice of a list."""
    return st.sampled_from((False,) * (number - 1) + (True,))


def _mm(tenths: int) -> str:
    return f"{tenths // 10}.{tenths % 10} mm"


@st.composite
def looms(draw: Draw, name: str) -> Plain:
    """A loom of any build, small enough for brute force."""
    build = draw(st.sampled_from(("boards", "boards", "slider", "ring")))
    loom: Plain = {
        "name": name,
        "build": build,
        "pitch": _mm(draw(st.sampled_from((80, 95, 95, 110, 127, 140)))),
        "peg_diameter": _mm(draw(st.sampled_from((20, 30, 30, 50)))),
    }
    if build == "ring":
        return loom | {"pegs": draw(st.integers(8, 48)) * 2 - draw(st.sampled_from((0, 0, 0, 1)))}
    if build == "slider":
        least = draw(st.integers(8, 40))
        loom |= {"pegs_least": least, "pegs_most": least + 2 * draw(st.integers(0, 25))}
        return loom | ({"base_gap": _mm(draw(st.integers(20, 60)))} if draw(st.booleans()) else {})
    return loom | draw(_frames())


@st.composite
def _frames(draw: Draw) -> Plain:
    frame: Plain = {
        "base_gap": _mm(draw(st.integers(20, 50))),
        "joining": draw(st.booleans()),
        "ends_anywhere": draw(st.booleans()),
        "bolts_per_board": draw(st.integers(1, 2)),
    }
    if draw(st.booleans()):
        stock = draw(st.sampled_from((0, 4, 8, 12, 16, 40)))
        frame["spacers"] = {"thickness": _mm(draw(st.sampled_from((8, 16)))), "most": draw(st.integers(1, 3))}
        frame["spacers"]["on_hand"] = stock
    names = draw(st.permutations(BOARD_NAMES))
    frame["side_boards"] = [draw(_boards(name, 6, 34)) for name in names[: draw(st.integers(1, 3))]]
    ends = [draw(_boards(name, 0, 7)) for name in ("end", "Cap")[: draw(st.integers(0, 2))]]
    if ends:
        frame["end_boards"] = ends
    if draw(st.booleans()) and (stand := draw(_stands(frame))):
        frame["set_up_as"] = stand
    return frame


@st.composite
def _boards(draw: Draw, name: str, least: int, most: int) -> Plain:
    return {
        "name": name,
        "pegs": draw(st.integers(least, most)),
        "on_hand": draw(st.sampled_from((2, 2, 4, 4, 3, 1, 0))),
    }


@st.composite
def _stands(draw: Draw, frame: Plain) -> Plain | None:
    """How the frame stands now, from what is on hand; None where it cannot stand at all."""
    pairs = [board for board in frame["side_boards"] for _ in range(board["on_hand"] // 2)]
    ends = [board for board in frame.get("end_boards", ()) if board["on_hand"] >= 2]
    if not pairs or (frame.get("end_boards") and not ends):
        return None
    sides = draw(st.permutations(pairs))[: draw(st.integers(1, len(pairs))) if frame["joining"] else 1]
    full = sum(board["pegs"] for board in sides)
    stand: Plain = {"sides": [board["name"] for board in sides]}
    if ends:
        stand["ends"] = draw(st.sampled_from(ends))["name"]
    stand["pegs_per_side"] = draw(st.integers(1, full)) if frame["ends_anywhere"] else full
    spacers = frame.get("spacers", {"most": 0, "on_hand": 0})
    bolts = frame["bolts_per_board"] * (2 * len(sides) + (2 if ends else 0))
    stand["spacers"] = draw(st.integers(0, min(spacers["most"], spacers["on_hand"] // bolts)))
    return stand


@st.composite
def yarns(draw: Draw, name: str) -> Plain:
    """A yarn of class 1–6; a ball label, a count of balls, own wraps per inch and a fibre each now and then."""
    weight = draw(st.sampled_from((1, 2, 3, 4, 4, 4, 5, 5, 6)))
    yarn: Plain = {"name": name, "weight": weight}
    if draw(st.booleans()):
        grams = draw(st.sampled_from((50, 100, 25, 10)))
        metres = grams * 1000 // oracle.TYPICAL_TEX[weight] * draw(st.integers(80, 120)) // 100
        yarn |= {"length_per_ball": f"{metres} m", "mass_per_ball": f"{grams} g"}
        if draw(st.booleans()):
            yarn["balls"] = draw(st.sampled_from((1, 1, 2, 5)))
    if draw(_one_in(4)):
        yarn["wraps_per_inch"] = draw(st.sampled_from((6, 8, 9.5, 11, 13)))
    if fibre := draw(st.sampled_from((None, "wool", "acrylic", "cotton", "nylon"))):
        yarn["fibre"] = fibre
    return yarn


@st.composite
def swatches(draw: Draw, kit: Plain) -> Plain | None:
    """A swatch of a setting that the kit can make, about 20 % round the starting guess."""
    loom, yarn = draw(st.sampled_from(kit["loom"])), draw(st.sampled_from(kit["yarn"]))
    spacers = draw(st.integers(0, loom.get("spacers", {"most": 0})["most"]))
    strands, stitch = draw(st.sampled_from((1, 1, 2))), draw(st.sampled_from(("u-wrap", "u-wrap", "e-wrap")))
    known = oracle.guess(oracle.read_loom(loom), spacers, oracle.read_yarn(yarn), strands, stitch)
    if known is None:
        return None
    over, over_um = draw(st.sampled_from((("4 in", 101_600), ("10 cm", 100_000))))

    def count(each_um: int) -> Plain:
        return {"count": max(2, over_um * draw(st.integers(80, 120)) // (each_um * 100)), "over": over}

    swatch: Plain = {"loom": loom["name"], "spacers": spacers, "yarn": yarn["name"], "strands": strands}
    swatch |= {"stitch": stitch, "stitches": count(known.width_um), "rows": count(known.height_um)}
    if draw(_one_in(4)):
        tex = oracle.read_yarn(yarn).mtex or 0
        milligrams = 30 * 40 * strands * known.loop_um * tex * draw(st.integers(90, 110)) // 100 // 10**9
        swatch |= {"mass": f"{milligrams / 1000:.1f} g", "knitted": {"stitches": 30, "rows": 40}}
    return swatch


@st.composite
def kits(draw: Draw, swatched: bool | None = None) -> Plain:
    """A kit of 1–3 looms and 1–3 yarns; `swatched` False for none, True for 1–3 swatches, None for either.

    Now and then a loom or a yarn has a twin of another name, so that only the names decide between them.
    """
    loom_names, yarn_names = draw(st.permutations(LOOM_NAMES)), draw(st.permutations(YARN_NAMES))
    kit: Plain = {"loom": [draw(looms(name)) for name in loom_names[: draw(st.integers(1, 3))]]}
    kit["yarn"] = [draw(yarns(name)) for name in yarn_names[: draw(st.integers(1, 3))]]
    if draw(_one_in(10)) and len(kit["loom"]) < 3:
        kit["loom"].append(kit["loom"][0] | {"name": loom_names[-1]})
    if draw(_one_in(10)) and len(kit["yarn"]) < 3:
        kit["yarn"].append(kit["yarn"][0] | {"name": yarn_names[-1]})
    fewest = 1 if swatched else 0
    if swatched is not False and (count := draw(st.integers(fewest, 3))):
        made = [draw(swatches(kit)) for _ in range(count)]
        if kept := [one for one in made if one]:
            kit["swatch"] = kept
    return kit


@st.composite
def asks(draw: Draw, kit: Plain, gauge: oracle.GaugeOf | None = None) -> Plain:
    """The words of `make_ask` for a piece near what one way of the kit would make, by `gauge` or as counted."""
    stitch = draw(st.sampled_from(("u-wrap", "u-wrap", "e-wrap")))
    any_ask = oracle.make_ask("hat", 500_000, 200_000, stitch=stitch)
    ways = list(oracle.ways(kit, any_ask, gauge or oracle.counted_gauge(kit)))
    # Most asks aim at a way that no law forbids; the rest may fail on any rule.
    fair = [way for way in ways if not set(oracle.way_breaks(any_ask, way)) and _standing(way.loom)]
    unfair = draw(_one_in(16)) or not fair
    way = draw(st.sampled_from(ways if unfair else fair))
    width, height = way.gauge.width_um, way.gauge.height_um
    item = draw(st.sampled_from(("hat", "hat", "hat-brim-first", "headband")))
    repeat = oracle.RIBS[draw(st.sampled_from(tuple(oracle.RIBS)))]
    pegs = draw(_pegs(way.loom, repeat, item == "hat"))
    rows = draw(st.integers(12, 60))
    ask: Plain = {
        "item": item,
        "girth_um": max(20_000, pegs * width + draw(st.integers(-width, width)) // 2),
        "length_um": rows * height + draw(st.integers(-height, height)) // 2,
        "repeat": repeat,
        "stitch": stitch,
        "price": draw(st.sampled_from((Fraction(1, 10), Fraction(0), Fraction(1, 4), Fraction(1)))),
        "risk_weight": draw(st.sampled_from((Fraction(1), Fraction(0), Fraction(1, 2)))),
    }
    if draw(st.booleans()):
        ask["girth_tol_um"] = width * draw(st.sampled_from((50, 75, 100, 150, 200, 300, 25, 0))) // 100
    if draw(st.booleans()):
        ask["length_tol_um"] = height * draw(st.sampled_from((50, 75, 100, 200, 400, 25, 0))) // 100
    if item != "headband" and not draw(_one_in(4)):
        ask["band"] = draw(_bands(height, rows))
    if draw(_one_in(3 if way.gauge.swatched else 40)):
        ask["measured_only"] = True
    if draw(_one_in(4)):
        ask["pins"] = draw(_pins(way, pegs))
    return ask


def _standing(loom: oracle.Loom) -> list[int]:
    return sorted({frame.pegs for frame in oracle.frames(loom, False, frozenset())})


@st.composite
def _pegs(draw: Draw, loom: oracle.Loom, repeat: int, even: bool) -> int:
    """Pegs that the loom can have in work, mostly such as the piece can use; now and then a few off."""
    standing = _standing(loom) or [40]
    usable = [pegs for pegs in standing if pegs >= 12 and pegs % repeat == 0 and not (even and pegs % 2)]
    unusable = draw(_one_in(16)) or not usable
    pegs: int = draw(st.sampled_from(standing if unusable else usable))
    off: int = draw(st.sampled_from((0,) * 10 + (1, 12)))
    return pegs + off


@st.composite
def _pins(draw: Draw, way: oracle.Way, pegs: int) -> Plain:
    near: Plain = {"loom": way.loom.name, "yarn": way.yarn.name, "spacers": way.spacers, "strands": way.strands}
    near["pegs"] = pegs
    kept = draw(st.sets(st.sampled_from(tuple(near)), min_size=1, max_size=2))
    if draw(_one_in(6)):
        near |= {"strands": 3, "spacers": draw(st.integers(0, 4))}
    return {name: near[name] for name in near if name in kept}


@st.composite
def _bands(draw: Draw, height: int, rows: int) -> tuple[int, int, int]:
    least = draw(st.integers(1, max(1, rows // 2))) * height - draw(st.integers(0, height)) // 2
    most = least + height * draw(st.sampled_from((100, 150, 200, 400, 600, 50, 0))) // 100
    return least, (least + most) // 2, most


@st.composite
def cases(
    draw: Draw, swatched: bool | None = None, gauge_of: Callable[[Plain], oracle.GaugeOf] = oracle.counted_gauge
) -> tuple[Plain, Plain]:
    """A kit and the words of an ask for it; `gauge_of` gives the gauge by which the ask is aimed."""
    kit = draw(kits(swatched))
    return kit, draw(asks(kit, gauge_of(kit)))


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=False)  # strings, numbers and truths are written alike in TOML


def to_toml(kit: Plain) -> str:
    """Write a kit as the text of a kit file."""
    lines = [f"{key} = {_value(value)}" for key, value in kit.items() if not isinstance(value, list)]
    for table, entries in kit.items():
        for entry in entries if isinstance(entries, list) else ():
            lines += ["", f"[[{table}]]", *(f"{key} = {_value(value)}" for key, value in entry.items())]
    return "\n".join(lines) + "\n"

"""A slip in one swatch of a random kit: it is named, and what the kit says of another setting stays the same."""

from collections import Counter
from typing import Any

import numpy as np
import pytest

from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.gauging.doubt import doubts
from solver.gauging.prior import Setting
from solver.model.ask import Pins
from solver.search.best_first import find
from tests.kits.draws import some_or_many
from tests.kits.gauge_kits import FRAME, KETTLE, MOSS, RAKE, RING, kit, swatch
from tests.solver.gauging import gauge_simulation as sim

BOARDS = [{"name": "short", "pegs": 18, "on_hand": 2}, {"name": "long", "pegs": 30, "on_hand": 2}]
WIDE = {**FRAME, "joining": True, "ends_anywhere": True, "side_boards": BOARDS}
WIDE["end_boards"] = [{"name": "end", "pegs": 6, "on_hand": 2}]
ROUND = [i for i, w in enumerate(sim.WAYS) if w.loom != "porch ring"]  # the ring is too small for a hat
Rows = list[dict[str, Any]]


def kit_of(rows: Rows) -> Kit:
    return kit(*rows, loom=[WIDE, RING, RAKE], yarn=[MOSS, KETTLE])


def honest(draw: np.random.Generator) -> tuple[Rows, list[int]]:
    """Four swatches of four ways by one knitter, counted and unravelled, and the places of those that a hat fits."""
    ways = draw.permutation(len(sim.WAYS))[:4].tolist()
    made = sim.knitters(1, 200, int(draw.integers(1 << 30)))
    at = [int(np.flatnonzero(made.swatched[0] == way)[0]) for way in ways]
    rows = []
    for way, j in zip(ways, at, strict=True):
        w, st, high = sim.WAYS[way], int(made.stitches[0, j]), int(made.rows[0, j])
        crossing = 0.85 if w.stitch == "e-wrap" else 1.0  # what of the loop gives width and height
        loop_mm = np.sqrt(19 * 101.6 / st * 101.6 / high) / crossing * np.exp(draw.normal(0, 0.05))
        length = f"{loop_mm * 1.2:.1f} m"
        setting = Setting(w.loom, w.spacers, w.yarn, w.strands, w.stitch)
        rows.append(swatch(st, high, setting, yarn_length=length, knitted={"stitches": 30, "rows": 40}))
    return rows, [i for i, way in enumerate(ways) if way in ROUND]


def slipped(text: str, slip: str) -> str | None:
    """A number as it is typed by a slip; None where that slip leaves it as it was, or is none."""
    number, _, unit = text.partition(" ")
    if slip == "ten times":
        new = f"{float(number) * 10:g}"
    elif slip == "a tenth":
        new = f"{float(number) / 10:g}"
    else:
        new = number[1] + number[0] + number[2:] if len(number) > 1 and number[1] not in "0." else number
    return None if float(new) == float(number) else f"{new} {unit}".strip()


def with_slip(rows: Rows, i: int, field: str, slip: str) -> Rows | None:
    """The swatches with one number of one of them mistyped, or its inches written as centimetres."""
    was, new = rows[i], None
    if slip == "cm for in":
        new = None if field == "yarn_length" else {**was[field], "over": "4 cm"}
    elif field == "yarn_length":
        new = slipped(was[field], slip)
    elif typed := slipped(str(was[field]["count"]), slip):
        new = {**was[field], "count": float(typed)}
    return None if new is None else [*rows[:i], {**was, field: new}, *rows[i + 1 :]]


def hat(a_kit: Kit, at: dict[str, Any]) -> Any:
    """Pegs, rows and band of the best hat at one setting."""
    pins = Pins(loom=at["loom"], yarn=at["yarn"], spacers=at["spacers"], strands=at["strands"])
    found = find(ask_of(a_kit, Wish("hat", around_um=533_400, stitch=at["stitch"], pins=pins)), 1)
    return [(p.pegs, p.rows_total, p.rows_band) for o in found.options for p in o.setup.pieces]


def a_step_at_most(a: Any, b: Any) -> bool:
    """Pegs, which go in pairs, within one pair, rows within one: what a hair's breadth of gauge tips."""
    return len(a) == len(b) and all(
        abs(x[0] - y[0]) <= 2 and abs(x[1] - y[1]) <= 1 and abs(x[2] - y[2]) <= 1 for x, y in zip(a, b, strict=True)
    )


@some_or_many(60, 1_000)
def test_a_slip_is_named_and_moves_no_other_setting(examples: int, capsys: pytest.CaptureFixture[str]) -> None:
    """×10, ÷10, transposed digits, cm for in, in a count or an unravelled length of one of four swatches, ten kits.

    A slip that is named moves nothing else: the hat of another yarn's setting is as if that swatch, or that weighing,
    were not there. So it is the hat of the honest kit, but where the honest swatch had itself tipped a pair of pegs or
    a row. A slip within 3 sd passes unseen.
    """
    draw, tally = np.random.default_rng(11), Counter[str]()
    kits = [each for each in (honest(draw) for _ in range(60)) if each[1] and not doubts(kit_of(each[0])).told][:10]
    while tally["named"] + tally["unseen"] < examples:
        rows, fits = kits[int(draw.integers(10))]
        i, field = int(draw.integers(4)), str(draw.choice(["stitches", "rows", "yarn_length"]))
        slip = str(draw.choice(["ten times", "a tenth", "transposed", "cm for in"]))
        wrong = with_slip(rows, i, field, slip)
        other = [j for j in fits if (rows[j]["yarn"], rows[j]["strands"]) != (rows[i]["yarn"], rows[i]["strands"])]
        if wrong is None or not other:
            continue
        target, told = rows[int(draw.choice(other))], doubts(kit_of(wrong))
        named = i in (told.yarn if field == "yarn_length" else told.counts)
        word = "named" if named else "unseen"
        now, was = hat(kit_of(wrong), target), hat(kit_of(rows), target)
        tally[word] += 1
        tally[f"{word}, the same hat"] += now == was
        tally[f"{word}, a step at most"] += a_step_at_most(now, was)
        tally[f"{word}: {slip}"] += 1
        if named:
            assert (told.counts | told.yarn) == {i}, "an honest swatch is doubted beside the slip"
            left = {k: v for k, v in wrong[i].items() if k not in ("yarn_length", "knitted")}
            without = [*wrong[:i], *([left] if field == "yarn_length" else []), *wrong[i + 1 :]]
            assert now == hat(kit_of(without), target)
    with capsys.disabled():
        print(f"\n{examples} slips: {dict(sorted(tally.items()))}")
    assert tally["named, a step at most"] == tally["named"]
    assert tally["named, the same hat"] >= 0.75 * tally["named"]
    assert tally["unseen"] <= 0.15 * examples

"""An independent checker of a batch's plan: it reads the report as JSON, the kit as a dict, and solves nothing."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from fractions import Fraction
from typing import Any

from tests import oracle

Plain = dict[str, Any]


def check(report: Any, kit: Plain, asked: list[tuple[str, int]], turns: int | None, buy: bool) -> None:
    """Everybody once, the stock, the ledger to the mm, one piece on a loom at a time, changes counted again.

    `report` is a BatchReport, `asked` the names with their copies, row by row.
    """
    told = json.loads(report.model_dump_json(by_alias=True))
    everybody = Counter((e["name"], e["copy"]) for e in (*told["assigned"], *told["unserved"]))
    assert everybody == Counter((name, copy) for name, copies in asked for copy in range(1, copies + 1))
    assert told["served"] == len(told["assigned"])
    assert told["asked"] == sum(copies for _, copies in asked)
    assert all(e["says"] for e in told["unserved"])
    chances = sum(round(10_000 * e["option"]["chance_of_fit"]) for e in told["assigned"])
    assert round(10_000 * told["likely_to_fit"]) == chances
    _ledger(told, kit, buy)
    _looms(told, kit, turns)
    _stages(told, chances)


def _mm(metres: float) -> int:
    assert abs(1000 * metres - round(1000 * metres)) < 1e-6
    return round(1000 * metres)


def _ledger(told: Plain, kit: Plain, buy: bool) -> None:
    used: Counter[str] = Counter()
    for each in told["assigned"]:
        wound, needed = _mm(each["wind_off_m"]), Fraction(str(each["option"]["yarn_m"])) * 1000
        assert 0 <= wound - needed <= 1  # rounded up to a mm, where the option rounds to the nearest
        used[each["option"]["yarn"]] += wound
    assert [line["yarn"] for line in told["yarn"]] == sorted(raw["name"] for raw in kit["yarn"])
    raws = {raw["name"]: raw for raw in kit["yarn"]}
    for line in told["yarn"]:
        yarn = oracle.read_yarn(raws[line["yarn"]])
        label = raws[line["yarn"]].get("length_per_ball")
        ball = None if label is None else oracle.length_um(label) // 1000
        stock = oracle.yarn_on_hand_um(yarn)
        assert _mm(line["used_m"]) == used[line["yarn"]]
        assert line["had_m"] == (None if stock is None else stock // 1000 / 1000)
        assert (line["buy_balls"] is None) == (ball is None)
        assert _mm(line["bought_m"]) == (line["buy_balls"] or 0) * (ball or 0)
        if line["left_m"] is not None:
            had = 0 if line["had_m"] is None else _mm(line["had_m"])
            assert had + _mm(line["bought_m"]) - _mm(line["used_m"]) == _mm(line["left_m"]) >= 0
            assert line["buy_balls"] is None or line["left_m"] * 1000 < (ball or 0) or line["buy_balls"] == 0
        assert buy or stock is None or not line["buy_balls"]


def _looms(told: Plain, kit: Plain, turns: int | None) -> None:
    looms = {raw["name"]: raw for raw in kit["loom"]}
    work: dict[tuple[str, int], list[tuple[int, list[Plain], list[str]]]] = defaultdict(list)
    orders = []
    for each in told["assigned"]:
        o = each["option"]
        here = [p for p in o["pieces"] if p["loom"] == o["loom"]]
        work[o["loom"], each["loom_no"]].append((each["turn"], here, each["changes"]))
        orders.append(each["order"])
        for other in each["elsewhere"]:
            there = [p for p in o["pieces"] if p["name"] in other["pieces"]]
            assert all(p["loom"] == other["loom"] for p in there)
            work[other["loom"], other["loom_no"]].append((other["turn"], there, other["changes"]))
            orders.append(other["order"])
        elsewhere = {p["name"] for p in o["pieces"]} - {p["name"] for p in here}
        assert elsewhere == {name for other in each["elsewhere"] for name in other["pieces"]}
    assert sorted(orders) == list(range(1, len(orders) + 1))
    changes = 0
    for (name, number), jobs in work.items():
        assert 1 <= number <= looms[name].get("on_hand", 1)
        jobs.sort(key=lambda job: job[0])
        assert [turn for turn, _, _ in jobs] == list(range(1, len(jobs) + 1))
        assert turns is None or len(jobs) <= turns
        changes += _changes(looms[name], jobs)
    assert told["changes"] == changes


def _changes(loom: Plain, jobs: list[tuple[int, list[Plain], list[str]]]) -> int:
    """Changes on one loom, from the boards, pegs and spacers of the report alone; words wherever there are some."""
    if loom["build"] == "ring":
        assert not any(words for _, _, words in jobs)
        return 0
    now = loom.get("set_up_as")
    stood: Any = None
    if now is not None:
        full = sum(b.get("pegs", 0) for n in now["sides"] for b in loom["side_boards"] if b["name"] == n)
        stood = (Counter(now["sides"]), now.get("ends"), now.get("pegs_per_side", full), now.get("spacers", 0))
    total = 0
    for _, pieces, words in jobs:
        here = 0
        for p in pieces:
            stand = (Counter(p["side_boards"]), p["end_board"], p["pegs_per_side"], p["spacers"])
            if loom["build"] == "slider":
                stand = (Counter(), None, p["pegs"], 0)
            if stood is not None:
                here += 2 * sum(abs(stood[0][n] - stand[0][n]) for n in {*stood[0], *stand[0]})
                here += 2 * ((stood[1] is not None) + (stand[1] is not None)) * (stood[1] != stand[1])
                here += (stood[2] != stand[2]) + (stood[3] != stand[3])
            stood = stand
        assert bool(here) == bool(words)
        total += here
    return total


def _stages(told: Plain, chances: int) -> None:
    fit = [s for s in told["stages"] if s["unit"] == "pieces"]
    assert sum(round(10_000 * s["value"]) for s in fit) == chances
    for stage in told["stages"]:
        more = stage["unit"] == "pieces"
        assert stage["bound"] >= stage["value"] if more else stage["bound"] <= stage["value"]
        assert (stage["gap_pct"] == 0) == (stage["bound"] == stage["value"])
    assert told["complete"] == all(s["gap_pct"] == 0 for s in told["stages"]) or not told["complete"]
    assert [s["value"] for s in told["stages"] if s["unit"] == "changes"] == [told["changes"]]
    bought = [s["value"] for s in told["stages"] if s["unit"] == "balls"]
    assert not bought or bought == [sum(line["buy_balls"] or 0 for line in told["yarn"])]

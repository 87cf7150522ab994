"""The law told first stops the most of the ways that could be built: counted one by one by the oracle."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from typing import Any

from hypothesis import given

from solver.asking.ask_of import ask_of
from solver.why.explain import diagnose, explain
from solver.why.violations import Minimal, rules_of
from tests import oracle
from tests.kits import randomkits
from tests.kits.draws import drawn, some_or_many
from tests.kits.whynot_cases import exists, only
from tests.solver import against

SEEN: Counter[str] = Counter()
Plain = dict[str, Any]
Gauge = Callable[..., Any] | None
NAMED = {"pin-loom", "pin-yarn", "pin-spacers", "pin-strands"}
WISHES = {"girth-within", "length-within", "band-depth", "sure-enough", "gauge-measured", "pin-pegs"} | NAMED
BOARDS = {"boards-on-hand", "pegs-on-loom"}
OF_WAY = {"yarn-suits-pitch", "not-jammed", "not-flimsy"}


def hers(plain: Plain, ask: oracle.Ask, gauge: Gauge) -> list[oracle.Way]:
    """The ways that could be built: no more spacers than a bolt takes, and what is named."""
    each = oracle.ways(plain, ask, gauge)
    return [w for w in each if w.spacers <= w.loom.most and not NAMED & {*oracle.way_breaks(ask, w)}]


def can(plain: Plain, ask: oracle.Ask, gauge: Gauge, way: oracle.Way, kept: set[str]) -> bool:
    """Whether a setup of one way holds some rules, by going through boards, pegs and rows."""
    pins = replace(ask.pins, loom=way.loom.name, yarn=way.yarn.name, spacers=way.spacers, strands=way.strands)
    return exists(plain, only(replace(ask, pins=pins), kept | NAMED), gauge)


def stopped(plain: Plain, ask: oracle.Ask, gauge: Gauge, law: str) -> int:
    """How many of her ways a law stops: what is wanted, and what else has to be built, could be had but for it."""
    built = BOARDS | {"spacers-on-hand"}
    before = {
        "room-for-plain": {"length-within", "band-depth"},
        "yarn-on-hand": {"girth-within", "pin-pegs", "length-within", "band-depth"} | built,
        "spacers-on-hand": {"girth-within", "pin-pegs"} | BOARDS,
        **{law: {"girth-within", "pin-pegs"} for law in BOARDS},
    }.get(law, {"girth-within", "pin-pegs"} | built)
    own = BOARDS if law in BOARDS else {law}
    many = 0
    for way in hers(plain, ask, gauge):
        if law in OF_WAY:
            many += law in {*oracle.way_breaks(ask, way)}
        else:
            many += can(plain, ask, gauge, way, before) and not can(plain, ask, gauge, way, before | own)
    return many


def _smallest(ways_out: list[set[str]], size: int) -> list[tuple[str, ...]]:
    """Every set of so many rules that meets all ways out."""
    named = sorted(set().union(*ways_out))
    return [some for some in combinations(named, size) if all({*some} & way_out for way_out in ways_out)]


def _each(case: tuple[Plain, Plain]) -> None:
    plain, words = case
    kit, wish, ask, gauge = against.told(plain, words)
    if oracle.exists(plain, ask, gauge):
        return
    report = explain(kit, wish, ask_of(kit, wish))
    if not report.clash:
        return
    SEEN["none"] += 1
    SEEN["frames"] += any("spacers" in loom for loom in plain["loom"])
    assert report.ways == len(hers(plain, ask, gauge))
    for each in report.told:
        assert (each.stops is None) == (each.rule in WISHES)
        if each.stops is not None:
            SEEN["laws"] += 1
            assert each.stops == stopped(plain, ask, gauge, each.rule), each
    sets = Minimal(mask for of_loom in diagnose(kit, wish).sets_by_loom.values() for mask in of_loom)
    clashes = _smallest([{*rules_of(mask)} for mask in sets], len(report.told))
    assert tuple(sorted(each.rule for each in report.told)) in clashes
    laws = {rule for clash in clashes for rule in clash} - WISHES
    counts = {law: stopped(plain, ask, gauge, law) for law in laws}
    told = [rule for rule in report.tells if rule not in WISHES]
    if any(counts.values()) and told:
        SEEN["told"] += 1
        SEEN["several clashes"] += len(clashes) > 1
        assert counts[told[0]] == max(counts.values()), (report.tells, counts)
    if not told:  # a wish alone is why: some way holds all laws, but for its size, or what she names contradicts itself
        SEEN["wishes alone"] += 1
    assert len(report.says.split()) <= 45


@some_or_many(160, 1_000, long=True)
def test_the_law_told_first_stops_most_ways(examples: int) -> None:
    """Random kits and asks; half of them have no setup."""
    SEEN.clear()
    drawn(examples)(given(case=randomkits.cases(gauge_of=against.learned_gauge))(_each))()
    assert SEEN["none"] > examples * 3 // 10, SEEN
    assert SEEN["frames"] > examples // 20, SEEN
    assert SEEN["laws"] > examples // 4, SEEN
    assert SEEN["told"] > examples // 5, SEEN
    assert SEEN["several clashes"] > examples // 30, SEEN

"""Random small batches, told to the planner as a kit and wishes, to the oracle as its own words; every plan of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from catalog.kit import Kit
from solver.many.gather import Wanted
from tests import oracle
from tests.kits import randomkits
from tests.solver import against

Plain = dict[str, Any]
REBUILD_UM = 3000


@dataclass
class Batch:
    """A kit, the rows of a batch (words, copies, priority), and what it may use."""

    plain: Plain
    rows: list[tuple[Plain, int, int]]
    turns: int | None
    buy: bool

    @property
    def kit(self) -> Kit:
        """The kit as the planner reads it."""
        return against.kit_from(self.plain)

    def wanted(self) -> list[Wanted]:
        """The rows as the planner takes them."""
        each = enumerate(self.rows, 1)
        return [Wanted(f"row {i}", against.told(self.plain, words)[1], n, first) for i, (words, n, first) in each]


@st.composite
def batches(draw: randomkits.Draw) -> Batch:
    """Up to three sizes in up to six copies; yarn and looms for one or two of them, now and then for all."""
    plain = draw(randomkits.kits())
    plain = {**plain, "loom": [{**loom, "on_hand": draw(st.sampled_from((1, 1, 2)))} for loom in plain["loom"]]}
    for yarn in plain["yarn"]:
        if "length_per_ball" in yarn:
            _in_small_balls(yarn)
            balls = draw(st.sampled_from((None, 0, 0, 3, 5, 8, 12, 30)))
            if balls is not None:
                yarn["balls"] = balls
    gauge = against.learned_gauge(plain) or oracle.counted_gauge(plain)
    rows = []
    for _ in range(draw(st.integers(1, 3))):
        words = draw(randomkits.asks(plain, gauge))
        rows.append((words, draw(st.integers(1, 2)), draw(st.sampled_from((9, 9, 1)))))
    return Batch(plain, rows, draw(st.sampled_from((None, 1, 2))), draw(st.sampled_from((False, True))))


def _in_small_balls(yarn: Plain) -> None:
    """The same yarn in balls of 20 m: a hat takes three to eight of them."""
    grams = int(yarn["mass_per_ball"].removesuffix(" g")) * 20 / int(yarn["length_per_ball"].removesuffix(" m"))
    yarn |= {"length_per_ball": "20 m", "mass_per_ball": f"{grams:.3f} g"}
    yarn.pop("balls", None)


@dataclass(frozen=True)
class Way:
    """One way to serve a row, by the oracle: figures in whole units, the loom, and what it must be built as."""

    chance: int
    mm: int
    score_um: int
    loom: str
    yarn: str
    build: tuple[int, int] | None


def every_way(batch: Batch, words: Plain) -> list[Way]:
    """Every way × peg count of a row with its best rows, by brute force."""
    ask = oracle.make_ask(**words)
    if batch.buy:
        ask = replace(ask, dropped=ask.dropped | {"yarn-on-hand"})
    gauge = against.learned_gauge(batch.plain) if batch.plain.get("swatch") else None
    if ask.measured_only and batch.plain.get("swatch"):
        gauge = against._gauge(batch.kit, pooled=True)
    found = []
    for way in oracle.ways(batch.plain, ask, gauge):
        pegs = {frame.pegs for frame in oracle.frames(way.loom, False, frozenset())}
        for n in sorted(pegs):
            if ask.pins.pegs not in (None, n):
                continue
            option = oracle.option(replace(ask, pins=replace(ask.pins, pegs=n)), way)
            if option is not None:
                found.append(_way(ask, way, option))
    return found


def _way(ask: oracle.Ask, way: oracle.Way, option: oracle.Found) -> Way:
    chance = oracle.girth_chance(way.gauge, option.pegs, ask.pieces[0])
    um = option.score / 10_000
    return Way(
        round(10_000 * round(chance, 4)),
        -(-option.yarn_um // 1000),
        (2 * um + 1).__floor__() // 2,
        way.loom.name,
        way.yarn.name,
        _build(way, option),
    )


def _build(way: oracle.Way, option: oracle.Found) -> tuple[int, int] | None:
    """Spacers and pegs that have to be set up; None on a ring, and where the loom stands so already."""
    if way.loom.build == "ring":
        return None
    stand = way.loom.stands
    if stand is not None and stand.spacers == way.spacers:
        end = next((b.pegs for b in way.loom.ends if b.name == stand.end), 0)
        if option.pegs == 2 * (stand.per_side + end):
            return None
    return way.spacers, option.pegs


State = tuple[tuple[int, ...], tuple[int, ...], frozenset[tuple[str, tuple[int, int]]]]
Reached = tuple[tuple[int, ...], int]  # chances by priority, then minus the score: more is better


@dataclass(frozen=True)
class Optimum:
    """The best that any plan reaches, stage by stage: chances by priority, balls, score in µm with rebuilds."""

    chances: tuple[int, ...]
    balls: int
    score_um: int


def optimum(batch: Batch, most: int = 60_000) -> Optimum | None:
    """Every plan over every way and peg count, kept by what it has used; None where there are more than `most`."""
    stock, ball = _yarns(batch)
    looms = {raw["name"]: raw.get("on_hand", 1) for raw in batch.plain["loom"]}
    stands = {raw["name"] for raw in batch.plain["loom"] if "set_up_as" in raw}
    yarn_names, loom_names = sorted(stock), sorted(looms)
    levels = sorted({first for _, _, first in batch.rows})
    states: dict[State, Reached] = {
        ((0,) * len(yarn_names), (0,) * len(loom_names), frozenset()): ((0,) * len(levels), 0)
    }
    for words, copies, first in batch.rows:
        ways = every_way(batch, words)
        for _ in range(copies):
            further = dict(states)
            for (mm, turns, built), (chances, minus) in states.items():
                for way in ways:
                    y, loom = yarn_names.index(way.yarn), loom_names.index(way.loom)
                    used = (*mm[:y], mm[y] + way.mm, *mm[y + 1 :])
                    worked = (*turns[:loom], turns[loom] + 1, *turns[loom + 1 :])
                    cap = None if batch.turns is None else batch.turns * looms[way.loom]
                    limit = None if batch.buy else stock[way.yarn]
                    if (cap is not None and worked[loom] > cap) or (limit is not None and used[y] > limit):
                        continue
                    at = levels.index(first)
                    more = (*chances[:at], chances[at] + way.chance, *chances[at + 1 :])
                    state = (used, worked, built | ({(way.loom, way.build)} if way.build else frozenset()))
                    reached = (more, minus - way.score_um)
                    if state not in further or further[state] < reached:
                        further[state] = reached
            states = further
            if len(states) > most:
                return None
    return max(_optima(states, batch, stock, ball, looms, stands, yarn_names), key=_order)


def _order(each: Optimum) -> tuple[Any, ...]:
    return (each.chances, -each.balls, -each.score_um)


def _yarns(batch: Batch) -> tuple[dict[str, int | None], dict[str, int | None]]:
    read = [oracle.read_yarn(raw) for raw in batch.plain["yarn"]]
    stock = {y.name: None if (um := oracle.yarn_on_hand_um(y)) is None else um // 1000 for y in read}
    ball = {
        raw["name"]: oracle.length_um(raw["length_per_ball"]) // 1000 if "length_per_ball" in raw else None
        for raw in batch.plain["yarn"]
    }
    return stock, ball


def _optima(
    states: dict[State, Reached],
    batch: Batch,
    stock: dict[str, int | None],
    ball: dict[str, int | None],
    looms: dict[str, int],
    stands: set[str],
    yarn_names: list[str],
) -> Iterator[Optimum]:
    for (mm, _, built), (chances, minus) in states.items():
        balls = sum(
            Fraction(max(0, used - (stock[name] or 0)), each).__ceil__()
            for name, used in zip(yarn_names, mm, strict=True)
            if batch.buy and (each := ball[name]) is not None
        )
        rebuilt = 0
        for name, units in looms.items():
            here = sum(loom == name for loom, _ in built)
            rebuilt += here if name in stands else max(0, here - units)
        yield Optimum(chances, balls, -minus + REBUILD_UM * rebuilt)

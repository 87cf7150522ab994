"""Whether a setup of several pieces exists with rules dropped, by the oracle: least pegs, least rows, least yarn."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any

from tests import oracle, oracle_items

Plain = dict[str, Any]
Frames = dict[Any, Any]  # of a loom its frames by pegs; under "free" what else is dropped


def exists(plain: Plain, ask: oracle.Ask, gauge: oracle.GaugeOf | None, kept: Iterable[str]) -> bool:
    """Whether a setup exists that holds the rules `kept`; the pairs of an opening are the one that `oracle` lacks.

    Yarn grows with pegs and with rows, so the fewest of each that hold tell whether it lasts.
    """
    held = frozenset(kept)
    ask = replace(ask, dropped=frozenset(oracle.RULES) - held)
    free = frozenset({"opening-pairs"}) - held
    stood = Frames({"free": free})
    ways = list(oracle.ways(plain, ask, gauge))
    return any(_lasts(ask, main, ways, stood) for main in ways)


def _lasts(ask: oracle.Ask, main: oracle.Way, ways: Sequence[oracle.Way], stood: Frames) -> bool:
    same = [w for w in ways if (w.yarn.name, w.strands) == (main.yarn.name, main.strands)]
    total = 0
    for i in range(len(ask.pieces)):
        least = _least_yarn(ask, i, main, None, stood)
        if least is None and i:
            opened = main if getattr(ask.pieces[i], "opening_of", None) is not None else None
            elsewhere = (_least_yarn(ask, i, way, opened, stood) for way in same if way is not main)
            least = min((um for um in elsewhere if um is not None), default=None)
        if least is None and getattr(ask.pieces[i], "flat_instead", False):
            least = _least_yarn(oracle_items.sewn_up(ask, i), i, main, None, stood)
        if least is None:
            return False
        total += least
    stock = None if "yarn-on-hand" in ask.dropped else oracle.yarn_on_hand_um(main.yarn)
    return stock is None or total <= stock


def _least_yarn(ask: oracle.Ask, i: int, way: oracle.Way, opened: oracle.Way | None, stood: Frames) -> int | None:
    part: Any = ask.pieces[i]
    alone = ask if i == 0 else replace(ask, pieces=(part,), pins=oracle.Pins())
    if not {*oracle.way_breaks(alone, way)} <= ask.dropped:
        return None
    pegs, rows = _fewest_pegs(alone, part, way, opened, stood), _fewest_rows(part, way, ask.dropped)
    return None if pegs is None or rows is None else oracle_items.yarn_um(part, way, pegs, rows)


def _fewest_pegs(ask: oracle.Ask, part: Any, way: oracle.Way, opened: oracle.Way | None, stood: Frames) -> int | None:
    key = (way.loom.name, part.flat)
    if key not in stood:
        stood[key] = sorted(oracle.frames(way.loom, part.flat, ask.dropped), key=lambda f: f.pegs)
    for pegs, frames in groupby(stood[key], key=lambda f: f.pegs):
        if oracle_items.peg_breaks(ask, part, way, pegs, opened) <= ask.dropped | stood["free"] and any(
            {*oracle.frame_breaks(way, frame, part.flat)} <= ask.dropped for frame in frames
        ):
            return pegs
    return None


def _fewest_rows(part: Any, way: oracle.Way, dropped: frozenset[str]) -> int | None:
    """The fewest rows in all; the plain part needs two unless that is dropped, and never less than none."""
    fixed, height = [max(0, n) for n in oracle_items.fixed_rows(part, way)], way.gauge.height_um
    most = max(oracle.MOST_LENGTHS * part.length_um, part.length_um + part.length_tol_um) // height
    need = 0 if "room-for-plain" in dropped else 2
    for total in range(1, most + 1):
        for band in range(1, total + 1) if part.wants_band else (0,):
            rest = total - part.bands * band - sum(fixed)
            if rest < 0 or (part.has_plain and min([rest, *fixed]) < need):
                continue
            rows = oracle.Rows(total, band if part.has_plain else total, rest + sum(fixed) if part.has_plain else 0)
            if {*oracle.row_breaks(part, way, rows)} - {"room-for-plain"} <= dropped:
                return total
    return None

"""What the oracle says of asks with rules dropped, and of kits and asks changed as a repair would have them."""

from collections.abc import Iterable, Iterator
from copy import deepcopy
from dataclasses import replace
from fractions import Fraction
from itertools import combinations_with_replacement, groupby
from typing import Any

from solver.model.ask import LoomAsk
from solver.why.repair import Repair
from solver.why.violations import SIDES, bit
from tests import oracle

Plain = dict[str, Any]
REPEATS = {"1x1": 2, "2x1": 3, "2x2": 4, "3x1": 4}
PINS = ("loom", "yarn", "pegs", "spacers", "strands")


def without(ask: oracle.Ask, rules: Iterable[str]) -> oracle.Ask:
    """The oracle's ask with more rules dropped."""
    return replace(ask, dropped=ask.dropped | frozenset(rules))


def only(ask: oracle.Ask, rules: Iterable[str]) -> oracle.Ask:
    """The oracle's ask with all rules but these dropped."""
    return replace(ask, dropped=frozenset(oracle.RULES) - frozenset(rules))


def exists(plain: Plain, ask: oracle.Ask, gauge: Any) -> bool:
    """`oracle.exists` for one piece without its lists: the first pegs and the first rows that hold are the fewest."""
    stood: dict[str, list[oracle.Frame]] = {}
    piece = ask.pieces[0]
    for way in oracle.ways(plain, ask, gauge):
        if not set(oracle.way_breaks(ask, way)) <= ask.dropped:
            continue
        rows = (r for r in oracle.row_choices(piece, way, ask.dropped))  # totals ascend
        fewest_rows = next((r for r in rows if set(oracle.row_breaks(piece, way, r)) <= ask.dropped), None)
        if fewest_rows is None:
            continue
        if way.loom.name not in stood:
            stood[way.loom.name] = sorted(oracle.frames(way.loom, piece.flat, ask.dropped), key=lambda f: f.pegs)
        fewest = _fewest_pegs(ask, way, stood[way.loom.name])
        on_hand = None if "yarn-on-hand" in ask.dropped else oracle.yarn_on_hand_um(way.yarn)
        if fewest and (on_hand is None or oracle.piece_yarn_um(piece, way, fewest, fewest_rows.total) <= on_hand):
            return True
    return False


def _fewest_pegs(ask: oracle.Ask, way: oracle.Way, frames: list[oracle.Frame]) -> int | None:
    piece = ask.pieces[0]
    for pegs, same in groupby(frames, key=lambda f: f.pegs):
        if set(oracle.peg_breaks(ask, piece, way, pegs)) <= ask.dropped and any(
            set(oracle.frame_breaks(way, frame, piece.flat)) <= ask.dropped for frame in same
        ):
            return pegs
    return None


def _copy(plain: Plain) -> Plain:
    """A kit whose twins share nothing: looms and yarns of one mould may share their tables."""
    return {table: [deepcopy(each) for each in entries] for table, entries in plain.items()}


def changed(plain: Plain, ask: oracle.Ask, fix: Repair) -> tuple[Plain, oracle.Ask]:
    """Kit and ask as the repair says, and no more than it says."""
    kit, asked = _copy(plain), ask
    for rule, give in zip(fix.rules, fix.gives, strict=True):
        asked = _ask_with(asked, fix, rule, give)
        _buy_just(kit, fix, rule, give)
    return kit, asked


def one_less(plain: Plain, ask: oracle.Ask, fix: Repair, rule: str) -> Iterator[tuple[Plain, oracle.Ask]]:
    """Every kit and ask in which `rule` gives one step less, for any loom, yarn or board, the other rules as they gave.

    Pins by name and ribs give 1 or nothing: one step less is the ask as it was.
    """
    gives = dict(zip(fix.rules, fix.gives, strict=True))
    asked, kit = ask, _copy(plain)
    for other in fix.rules:
        if other != rule:
            asked = _ask_with(asked, fix, other, gives[other])
            _buy_just(kit, fix, other, gives[other])
    less = gives[rule] - 1
    if rule == "yarn-on-hand":
        for yarn in kit["yarn"]:
            if "balls" in yarn:
                yarn["balls"] += less
        yield kit, asked
    elif rule == "spacers-on-hand":
        for loom in kit["loom"]:
            if "spacers" in loom:
                loom["spacers"]["on_hand"] += less
        yield kit, asked
    elif rule == "boards-on-hand":
        yield from ((each, asked) for each in _purchases(kit, less))
    elif rule in ("pin-pegs", "pin-spacers", "pin-strands"):
        yield from ((kit, each) for each in _pins_between(asked, fix, rule))
    elif rule in ("girth-within", "length-within", "band-depth"):
        yield kit, _ask_with(asked, fix, rule, less)
    else:
        yield kit, asked


def _ask_with(ask: oracle.Ask, fix: Repair, rule: str, give: int) -> oracle.Ask:
    setup = fix.option.setup
    if rule == "gauge-measured":
        return replace(ask, measured_only=False)
    if rule.startswith("pin-"):
        name, way = rule.removeprefix("pin-"), setup.way
        value = {"loom": way.loom.name, "yarn": way.yarn, "pegs": setup.pieces[0].pegs}.get(name)
        return replace(ask, pins=replace(ask.pins, **{name: getattr(way, name) if value is None else value}))
    return replace(ask, pieces=tuple(_piece_with(piece, fix, rule, give) for piece in ask.pieces))


def _piece_with(piece: oracle.Piece, fix: Repair, rule: str, give: int) -> oracle.Piece:
    """A piece whose limits give so much on the sides that the repair opens, or whose rib is another."""
    sides = [side for side in SIDES.get(rule, ("",)) if fix.breaks & bit(rule, side)]
    least, most = (give if side in sides else 0 for side in ("least", "most"))
    if rule == "whole-repeats":
        return replace(piece, repeat=REPEATS[fix.rib or ""]) if piece.repeat > 1 else piece
    if rule == "band-depth" and piece.band:
        return replace(piece, band=(piece.band[0] - least, piece.band[1], piece.band[2] + most))
    if rule in ("girth-within", "length-within"):
        what = rule.removesuffix("-within")
        size, tol = getattr(piece, f"{what}_um"), getattr(piece, f"{what}_tol_um")
        floor = getattr(piece, "girth_least_um", 0) if what == "girth" else 0  # what it may not be under gives as well
        low, high = max(size - tol, floor) - least, size + tol + most
        more = {"girth_least_um": low} if floor else {}
        new = {f"{what}_um": Fraction(low + high, 2), f"{what}_tol_um": Fraction(high - low, 2)}
        return replace(piece, **new, **more)
    return piece


def _buy_just(kit: Plain, fix: Repair, rule: str, give: int) -> None:
    """Add to the kit what the repair says to buy."""
    setup = fix.option.setup
    way = setup.way
    if rule == "yarn-on-hand":
        next(one for one in kit["yarn"] if one["name"] == way.yarn)["balls"] += give
    elif rule == "spacers-on-hand":
        short = [p.way.loom.name for p in setup.pieces if p.way.spacers * p.way.loom.bolts_per_board * p.boards
                 > p.way.loom.spacers_on_hand]  # fmt: skip
        next(one for one in kit["loom"] if one["name"] == short[0])["spacers"]["on_hand"] += give
    elif rule == "boards-on-hand":
        assert sum(_buy(kit, piece.way.loom, (*piece.sides, *piece.ends)) for piece in setup.pieces) == give


def _buy(kit: Plain, loom: LoomAsk, counts: Iterable[int]) -> int:
    """Buy the boards that a piece lacks; how many that are."""
    table = next(one for one in kit["loom"] if one["name"] == loom.name)
    bought = 0
    for board, count in zip((*loom.boards, *loom.ends), counts, strict=True):
        own = next(b for b in [*table["side_boards"], *table.get("end_boards", ())] if b["name"] == board.name)
        bought += max(0, 2 * count - own["on_hand"])
        own["on_hand"] = max(own["on_hand"], 2 * count)
    return bought


def _purchases(kit: Plain, many: int) -> Iterator[Plain]:
    """Every kit with so many more boards for one of its looms; none at all where that would be too many to try."""
    for i, loom in enumerate(kit["loom"]):
        kinds = [(key, j) for key in ("side_boards", "end_boards") for j in range(len(loom.get(key, ())))]
        for bought in combinations_with_replacement(kinds, many) if many <= 3 else ():
            more = _copy(kit)
            for key, j in bought:
                more["loom"][i][key][j]["on_hand"] += 1
            yield more


def _pins_between(ask: oracle.Ask, fix: Repair, rule: str) -> Iterator[oracle.Ask]:
    """The ask with every value between the pinned one and the repair's."""
    name, setup = rule.removeprefix("pin-"), fix.option.setup
    pinned = getattr(ask.pins, name)
    value = setup.pieces[0].pegs if name == "pegs" else getattr(setup.way, name)
    for between in range(min(pinned, value) + 1, max(pinned, value)):
        yield replace(ask, pins=replace(ask.pins, **{name: between}))

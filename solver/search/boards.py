"""The handiest boards for the pegs of a frame, by one pass over sums of boards.

Why not CP-SAT, which settles every other tie: nothing but boards is open here, what counts adds up board by board, and
one pass per loom serves all of its options; a third of a find went into laying out boards.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from solver.model.ask import Ask, LoomAsk, Way
from solver.model.rule import EngineError
from solver.model.setup import boards_most

FLAT = 1 << 20  # flat, what a side is long in all counts as pegs that moved, so sides are never compared by it


class Side(NamedTuple):
    """Boards end to end on one side, in the order in which they are preferred: changes to how the loom stands now,
    boards, pegs, then how many of each type, counted down, so that the first names come first."""

    changes: int
    boards: int
    pegs: int
    fewer: tuple[int, ...]


class Laid(NamedTuple):
    """A frame bolted together, in the order in which it is preferred; `end` is a type of end board."""

    changes: int
    boards: int
    idle: int
    fewer: tuple[int, ...]
    end: int


def handiest(ask: Ask, way: Way, pegs: int, flat: bool) -> Laid | None:
    """The handiest way to bolt a frame for so many pegs with the boards and spacers there are; None where none is."""
    return min(_laid(ask, way, pegs, flat), default=None)


def bolted(ask: Ask, ways: Sequence[Way], pegs: Sequence[int]) -> dict[str, int]:
    """The choices of a Setup that bolt the frames of all pieces for so many pegs, each the handiest way."""
    found: dict[str, int] = {}
    for i, (piece, way, n) in enumerate(zip(ask.pieces, ways, pegs, strict=True)):
        if way.loom.build == "boards":
            laid = handiest(ask, way, n, piece.flat)
            if laid is None:
                raise EngineError(f"no boards of the {way.loom.name} give the {n} pegs here")
            found |= choices_of(laid, i, way, n, piece.flat)
    return found


def choices_of(laid: Laid, i: int, way: Way, pegs: int, flat: bool) -> dict[str, int]:
    """The choices of a Setup that bolt piece i so; see model/setup.py."""
    found = {f"{i}.side{j}": -c for j, c in enumerate(laid.fewer)}
    found |= {f"{i}.end{j}": int(j == laid.end) for j in range(len(way.loom.ends))}
    ends = way.loom.ends[laid.end].pegs if way.loom.ends else 0
    return found if flat else found | {f"{i}.along": pegs // 2 - ends}


def _laid(ask: Ask, way: Way, pegs: int, flat: bool) -> Iterable[Laid]:
    loom, now = way.loom, way.loom.stands
    bolts = 0 if "spacers-on-hand" in ask.dropped else way.spacers * loom.bolts_per_board
    for e, end in enumerate(loom.ends) if loom.ends else ((0, None),):
        along = pegs if flat else pegs // 2 - (end.pegs if end else 0)
        if along < (1 if flat else loom.along_least(end)) or (end and end.on_hand < 2):
            continue
        for side in _sides(loom, FLAT if flat else _rounded(along), flat or loom.ends_anywhere):
            boards = 2 * side.boards + (2 if end else 0)
            fits = side.pegs >= along if flat or loom.ends_anywhere else side.pegs == along
            if fits and bolts * boards <= loom.spacers_on_hand:
                at = side.pegs if flat else along
                changes = side.changes + (_ends_moved(loom, e, at) + (way.spacers != now.spacers) if now else 0)
                yield Laid(changes, boards, 2 * (side.pegs - along), side.fewer, e)


def _ends_moved(loom: LoomAsk, end: int, along: int) -> int:
    """Changes at the ends: other end boards count 4 (2 where none stood), the same ones elsewhere 1."""
    now = loom.stands
    if now is None:
        return 0
    other = 0 if not loom.ends else 2 if now.end is None else 4 * (now.end != end)
    return other + min(1, abs(along - now.along))


def _rounded(along: int) -> int:
    """A limit a little higher, so that one pass serves many options."""
    return -(-along // 32) * 32


@lru_cache(maxsize=256)
def _sides(loom: LoomAsk, enough: int, longer: bool) -> tuple[Side, ...]:
    """Sides of up to `enough` pegs of which no other of as many pegs has no more changes and boards; with `longer`
    also sides of more pegs, which are compared with each other."""
    most, stands = boards_most(loom, far=False), loom.stands.sides if loom.stands else None
    sums: dict[int, list[Side]] = {0: [Side(0, 0, 0, ())]}
    for j, board in enumerate(loom.boards):
        grown: dict[int, list[Side]] = {}
        for each in sums.values():
            for changes, boards, pegs, fewer in each:
                for c in range(min(board.on_hand // 2, most - boards) + 1):
                    size = pegs + c * board.pegs
                    if size > enough and not longer:
                        break
                    moved = 2 * abs(c - stands[j]) if stands else 0
                    side = Side(changes + moved, boards + c, size, (*fewer, -c))
                    # all that are longer than enough compete as one: each is long enough, whatever is asked
                    grown.setdefault(min(size, enough + 1), []).append(side)
        sums = {size: _unbeaten(each) for size, each in grown.items()}
    return tuple(side for each in sums.values() for side in each if side.boards)


def _unbeaten(sides: list[Side]) -> list[Side]:
    """The sides that no other is at most equal to in changes, boards and pegs; of equals the first names."""
    kept: list[Side] = []
    for side in sorted(sides):
        if not any(other.boards <= side.boards and other.pegs <= side.pegs for other in kept):
            kept.append(side)
    return kept

"""How a loom may stand for so many pegs, and what is altered from one way of standing to another."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from solver.model.ask import AsItStands, LoomAsk
from solver.model.setup import boards_most

MANY = 3_000  # assemblies looked at for one peg count; a tin of a dozen board lengths has more
KEPT, ALL_KEPT = 120, 360  # of these the handiest are weighed against those of other peg counts; of all counts together


@dataclass(frozen=True, slots=True)
class Stand:
    """How a loom stands. A frame: boards of one side by type, end type, pegs along a side, spacers; a slider: pegs."""

    sides: tuple[int, ...] = ()
    end: int | None = None
    along: int = 0
    spacers: int = 0
    pegs: int = 0

    @staticmethod
    def now(loom: LoomAsk) -> "Stand | None":
        """How the kit says that a frame stands; None where nobody knows."""
        s = loom.stands
        return None if s is None else Stand(s.sides, s.end, s.along, s.spacers)

    @property
    def as_it_stands(self) -> AsItStands:
        """The same in the words of the model."""
        return AsItStands(sides=self.sides, end=self.end, along=self.along, spacers=self.spacers)


def altered(loom: LoomAsk, was: Stand | None, now: Stand) -> int:
    """Changes from one stand to the next: boards in or out, + 1 for moved ends, + 1 for other spacers; 0 from unknown.

    Of a slider its end moves or not; a ring never changes.
    """
    if was is None or loom.build == "ring":
        return 0
    if loom.build == "slider":
        return int(was.pegs != now.pegs)
    swapped = sum(2 * abs(a - b) for a, b in zip(was.sides, now.sides, strict=True))
    ends = 0 if not loom.ends or was.end == now.end else 4 if was.end is not None else 2
    return swapped + ends + int(was.along != now.along) + int(was.spacers != now.spacers)


def stands_for(loom: LoomAsk, spacers: int, pegs: int, flat: bool, most: int = KEPT) -> tuple[list[Stand], bool]:
    """The ways a loom may stand for so many pegs, handiest first, at most so many, and whether they are all."""
    if loom.build == "ring":
        return [Stand()], True
    if loom.build == "slider":
        return [Stand(pegs=0 if flat else pegs)], True
    found: list[Stand] = []
    for stand in _frames(loom, spacers, pegs, flat):
        found.append(stand)
        if len(found) >= MANY:
            break
    found.sort(key=lambda stand: _handiness(loom, stand))
    return found[:most], len(found) <= most


def _frames(loom: LoomAsk, spacers: int, pegs: int, flat: bool) -> Iterator[Stand]:
    """Every assembly for so many pegs that boards and spacers on hand allow."""
    ends: list[int | None] = [j for j, e in enumerate(loom.ends) if e.on_hand >= 2] if loom.ends else [None]
    bolts = spacers * loom.bolts_per_board
    most = boards_most(loom, False)
    if bolts:
        most = min(most, (loom.spacers_on_hand // bolts - (2 if loom.ends else 0)) // 2)
    for sides in _sides(loom, most):
        full = sum(c * b.pegs for c, b in zip(sides, loom.boards, strict=True))
        for end in ends:
            along = full if flat else pegs // 2 - (loom.ends[end].pegs if end is not None else 0)
            board = loom.ends[end] if end is not None else None
            within = loom.along_least(board) <= along <= full
            fits = pegs <= full if flat else within and (loom.ends_anywhere or along == full)
            if fits:
                yield Stand(sides, end, along, spacers)


def _sides(loom: LoomAsk, most: int) -> Iterator[tuple[int, ...]]:
    """Boards of one side by type, at least one and at most `most`; few boards first where they may be joined."""
    have = [b.on_hand // 2 for b in loom.boards]
    if most < 1:
        return
    if sum(have) > 12:  # too many to try them all: a side of up to four boards
        most = min(most, 4)
    for sides in product(*(range(min(h, most) + 1) for h in have)) if sum(have) <= 12 else _few(have, most):
        if 1 <= sum(sides) <= most:
            yield tuple(sides)


def _few(have: list[int], most: int) -> Iterator[tuple[int, ...]]:
    """Every choice of one board, then of two, and so on."""

    def chosen(at: int, left: int) -> Iterator[tuple[int, ...]]:
        if at == len(have):
            if left == 0:
                yield ()
            return
        for count in range(min(have[at], left), -1, -1):
            for rest in chosen(at + 1, left - count):
                yield (count, *rest)

    for boards in range(1, most + 1):
        yield from chosen(0, boards)


def _handiness(loom: LoomAsk, stand: Stand) -> tuple[object, ...]:
    """Least change from how it stands, fewest boards, fewest idle pegs, first names."""
    return (altered(loom, Stand.now(loom), stand), *weight(loom, stand), [-c for c in stand.sides], stand.end or 0)


def weight(loom: LoomAsk, stand: Stand) -> tuple[int, int]:
    """Boards used, and pegs of the sides that stay empty."""
    full = sum(c * b.pegs for c, b in zip(stand.sides, loom.boards, strict=True)) if stand.sides else 0
    return 2 * sum(stand.sides), 2 * (full - stand.along) if stand.sides else 0

"""The rows still to work, once the rows turn out taller or flatter than planned."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalog.figure import figure
from solver.model.ask import Costs, PieceAsk, Way
from solver.model.setup import rows_reached


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of all pegs, section by section: as planned, as worked so far, as they shall be; `back` to be undone."""

    planned: tuple[int, ...]
    done: tuple[int, ...]
    now: tuple[int, ...]
    back: int = 0

    @property
    def left(self) -> tuple[int, ...]:
        """Rows still to work in each section."""
        return tuple(now - done for now, done in zip(self.now, self.done, strict=True))

    @property
    def total(self) -> int:
        """All rows of the finished piece."""
        return sum(self.now)


def rows_left(piece: PieceAsk, costs: Costs, planned: Sequence[int], done: int, way: Way, depth_um: int) -> Rows:
    """The rows that finish a piece of which `done` rows are worked, at the row height of `way`.

    Rows worked stay; where they leave no length within its limit, the fewest are taken back that do, and where none
    do the nearest length stands. A band keeps its planned depth, `depth_um`, as near as length and limits allow.
    """
    for back in range(done + 1):
        rows = _finished(piece, costs, planned, done - back, way, depth_um)
        if abs(rows.total * way.height_um - piece.length_um) <= piece.length_tol_um:
            return Rows(rows.planned, rows.done, rows.now, back)
    return _finished(piece, costs, planned, done, way, depth_um)


def _finished(piece: PieceAsk, costs: Costs, planned: Sequence[int], done: int, way: Way, depth_um: int) -> Rows:
    """The best rows for what is still open: a section is closed once a later one has begun."""
    worked = tuple(_worked(planned, done))
    closed = [any(worked[i + 1 :]) for i in range(len(worked))]
    given = [max(w, r) for w, r in zip(worked, rows_reached(piece, way), strict=True)]
    height, limit = way.height_um, piece.length_um

    def row(i: int, band: int, rest: int) -> int:
        least = planned[i] if closed[i] else worked[i]
        free = {"band": band, "rest": rest, "reach": given[i], None: 0}[piece.sections[i].rows]
        return least if closed[i] else max(least, free)

    def cost(now: Sequence[int], band: int) -> tuple[int, int, int]:
        miss = abs(sum(now) * height - limit)
        depth = abs(band * height - depth_um) if piece.bands else 0
        return max(costs.length, 1) * miss + costs.band * depth, sum(now), band

    places, found = range(len(worked)), []
    for band in _bands(piece, planned, closed, height):
        others = sum(row(i, band, 0) for i in places if piece.sections[i].rows != "rest")
        for rest in _rests(piece, limit // height - others):
            now = tuple(row(i, band, rest) for i in places)
            found.append((cost(now, band), now))
    return Rows(tuple(planned), worked, min(found)[1])


def _worked(planned: Sequence[int], done: int) -> Iterator[int]:
    """Rows worked, section by section: nobody begins one before the one before it is finished."""
    for rows in planned:
        yield min(rows, done)
        done -= min(rows, done)


def _bands(piece: PieceAsk, planned: Sequence[int], closed: Sequence[bool], height_um: int) -> Sequence[int]:
    """The rows that a band may have: those of one that is finished, else what the limits of its depth allow."""
    finished = [planned[i] for i, s in enumerate(piece.sections) if s.rows == "band" and closed[i]]
    if finished or piece.band is None:
        return finished[:1] or [0]
    least = max(1, -(-piece.band.least_um // height_um))
    return range(least, max(least, piece.band.most_um // height_um) + 1)


def _rests(piece: PieceAsk, wanted: int) -> tuple[int, int]:
    """The two numbers of rows next to the wanted one that a part of free length may have."""
    plain = any(s.kind == "plain" and s.rows == "rest" for s in piece.sections)
    least = int(figure("least_plain_rows")) if plain else 1
    return max(wanted, least), max(wanted + 1, least)

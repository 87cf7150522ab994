"""Who is served by which line, and what that is as work: for each loom the jobs that it is set up for."""

from collections.abc import Sequence
from dataclasses import dataclass

from solver.many.gather import Gathered, Wanted
from solver.many.groups import Shares
from solver.many.line import Line

Standing = tuple[int, int, bool]  # spacers, pegs, flat: what a loom is set up for


@dataclass(frozen=True, slots=True)
class Served:
    """One copy of one row (both from 0) and the line that serves it."""

    row: int
    copy: int
    line: Line


@dataclass(frozen=True, slots=True)
class Job:
    """What a loom does for one who is served: the pieces worked there, in order, and what it is set up for in turn.

    `lesser`: it waits for the main piece, which is worked on another loom.
    """

    served: Served
    pieces: tuple[int, ...]
    settings: tuple[Standing, ...]
    lesser: bool


def serve(wanted: Sequence[Wanted], found: Gathered, shares: Shares) -> tuple[list[Served], list[tuple[int, int]]]:
    """Names to the counts: the earlier rows of a group get the better scores. And who goes without, row and copy."""
    served, without = [], []
    for at, (group, counts) in enumerate(zip(found.groups, shares, strict=True)):
        lines = [line for line, count in zip(group.lines, counts, strict=True) for _ in range(count)]
        rows = (row for row, place in enumerate(found.place) if place == at)
        copies = [(row, copy) for row in rows for copy in range(wanted[row].copies)]
        served += [Served(row, copy, line) for (row, copy), line in zip(copies, lines, strict=False)]
        without += copies[len(lines) :]
    return sorted(served, key=lambda s: (s.row, s.copy)), sorted(without)


def jobs_on(loom: str, served: Sequence[Served]) -> list[Job]:
    """The jobs of all looms of that name, in the order of the rows."""
    jobs = []
    for each in served:
        here = tuple(i for i, p in enumerate(each.line.pieces) if p.way.loom.name == loom)
        if here:
            flat = [piece.flat for piece in each.line.ask.pieces]
            worked = [(each.line.pieces[i].way.spacers, each.line.pieces[i].pegs, flat[i]) for i in here]
            jobs.append(Job(each, here, tuple(worked), 0 not in here))
    return jobs

"""A line: one way to serve an ask, pegs and rows settled; what it takes, and what it has the looms built as."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from solver.model.ask import Ask, LoomAsk, PieceAsk, Way
from solver.model.setup import rows_reached
from solver.search.option import Cell, Option, option_of


@dataclass(frozen=True)
class Build:
    """What a loom is set up as: spacers, and pegs in the round; flat (`pegs` 0) any assembly wide enough does."""

    loom: str
    spacers: int
    pegs: int


@dataclass(frozen=True)
class Worked:
    """One piece as a line works it: its way, its pegs, all its rows and those of one band (0 for none)."""

    way: Way
    pegs: int
    rows: int
    band: int


@dataclass(frozen=True)
class Line:
    """An ask's way to be served. Chance of fit in 1/10 000, score in the units of Costs and in µm, yarn in µm and mm.

    `taken_mm` is the yarn wound off, rounded up to a mm, so that a ledger in mm never promises what is not there.
    """

    ask: Ask
    pieces: tuple[Worked, ...]
    chance: int
    yarn_um: int
    score: int

    @property
    def way(self) -> Way:
        """The way of the main piece."""
        return self.pieces[0].way

    @cached_property
    def taken_mm(self) -> int:
        """Yarn wound off for it, mm, rounded up."""
        return -(-self.yarn_um // 1000)

    @cached_property
    def score_um(self) -> int:
        """The score in whole µm of miss, halves up."""
        unit = 10_000 * self.ask.costs.scale
        return (2 * self.score + unit) // (2 * unit)

    @cached_property
    def looms(self) -> tuple[str, ...]:
        """The looms that it takes, the main piece's first, each once."""
        return tuple(dict.fromkeys(p.way.loom.name for p in self.pieces))

    @cached_property
    def builds(self) -> frozenset[Build]:
        """What its looms have to be built as, other than they stand or are anyway (a ring is never rebuilt)."""
        each = zip(self.ask.pieces, self.pieces, strict=True)
        return frozenset(b for piece, w in each if (b := build_of(w.way.loom, w.way.spacers, w.pegs, piece.flat)))

    @property
    def order(self) -> tuple[object, ...]:
        """The total order among lines that score alike: pegs, spacers, strands, rows, names."""
        each = tuple((p.pegs, p.way.spacers, p.way.strands, p.rows, p.band) for p in self.pieces)
        return (self.score, each, tuple((p.way.loom.name, p.way.yarn) for p in self.pieces))


def build_of(loom: LoomAsk, spacers: int, pegs: int, flat: bool) -> Build | None:
    """What a loom has to be built as for so many pegs; None where it is never built, or stands so that it will do."""
    if loom.build == "ring" or (flat and loom.build == "slider"):
        return None
    now = loom.stands
    if now is not None and now.spacers == spacers:
        end = loom.ends[now.end].pegs if now.end is not None else 0
        full = sum(b.pegs * c for b, c in zip(loom.boards, now.sides, strict=True))
        if pegs <= full if flat else pegs == 2 * (now.along + end):
            return None
    return Build(loom.name, spacers, 0 if flat else pegs)


Assembly = tuple[tuple[int, ...], int | None]  # boards of one side by type, and the type of the end boards


def option(line: Line, assemblies: Mapping[int, Assembly]) -> Option:
    """The line as an Option, every piece on a frame bolted as `assemblies` has it (by the piece's place).

    Every rule is asked again in plain ints. Raises EngineError where they disagree.
    """
    values: dict[str, int] = {}
    for i, (piece, worked) in enumerate(zip(line.ask.pieces, line.pieces, strict=True)):
        values |= {f"{i}.{name}": value for name, value in _choices(piece, worked, assemblies.get(i)).items()}
    ways = tuple(p.way for p in line.pieces)
    return option_of(line.ask, Cell(ways, tuple((p.pegs,) for p in line.pieces), line.score), values)


def _choices(piece: PieceAsk, worked: Worked, assembly: Assembly | None) -> dict[str, int]:
    """The choices of a Setup that make a piece as it is worked; see model/setup.py."""
    loom, n = worked.way.loom, worked.pegs
    reached = sum(rows_reached(piece, worked.way))
    found = {"rows_rest": worked.rows - piece.bands * worked.band - reached}
    if piece.band:
        found["rows_band"] = worked.band
    if piece.repeat > 1:
        found["repeats"] = (n - piece.edge) // piece.repeat
    if piece.even or piece.picked_up:
        found["pairs"] = n // 2
    if assembly is None:
        return found | {"pegs": n}
    sides, end = assembly
    found |= {f"side{j}": count for j, count in enumerate(sides)}
    found |= {f"end{j}": int(j == end) for j in range(len(loom.ends))}
    ends = loom.ends[end].pegs if end is not None else 0
    return found | ({"pegs": n} if piece.flat else {"along": n // 2 - ends})

"""What all asks share: the looms and how often each can be worked, the yarn and what more of it can be had."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.kit import Kit
from solver.many.line import Line


@dataclass(frozen=True, slots=True)
class Skeins:
    """One yarn: what is on hand and what a ball holds, in whole mm rounded down; None for any amount, for unknown."""

    name: str
    stock_mm: int | None
    ball_mm: int | None


@dataclass(frozen=True, slots=True)
class Shelf:
    """Looms by name with how many alike, yarns by name; `turns` bounds how often each loom is worked, None for any.

    `buy`: more of every yarn may be bought, by the ball. `rebuild_um` is the miss that a rebuild is worth.
    """

    looms: dict[str, int]
    yarns: dict[str, Skeins]
    turns: int | None
    buy: bool
    rebuild_um: int

    @property
    def unlimited(self) -> frozenset[str]:
        """Yarns that cost nothing to take more of: there is any amount, and no ball of it is counted."""
        return frozenset(
            y.name for y in self.yarns.values() if y.stock_mm is None and not (self.buy and y.ball_mm is not None)
        )

    def turns_of(self, loom: str) -> int | None:
        """How many pieces all looms of that name together can be worked for; None for any number."""
        return None if self.turns is None else self.turns * self.looms[loom]

    def may_serve(self, line: Line) -> bool:
        """Whether a line can be planned at all: with turns, a piece that moves on to another loom cannot be timed."""
        return self.turns is None or len(line.looms) == 1

    def bounded(self, yarn: str) -> int | None:
        """The mm of a yarn that no plan may pass; None where there is no such bound."""
        return None if self.buy else self.yarns[yarn].stock_mm

    def balls(self, yarn: str, used_mm: int) -> int:
        """Balls to buy for so many mm: beyond the stock, or all where none is counted; 0 where no ball is known."""
        skeins = self.yarns[yarn]
        lacking = max(0, used_mm - (skeins.stock_mm or 0))
        return 0 if skeins.ball_mm is None else -(-lacking // skeins.ball_mm)


def shelf_of(kit: Kit, turns: int | None = None, buy: bool = False) -> Shelf:
    """What the kit holds."""
    yarns = {
        y.name: Skeins(
            y.name,
            None if y.on_hand_um is None else y.on_hand_um // 1000,
            None if y.length_per_ball_um is None else y.length_per_ball_um // 1000,
        )
        for y in kit.yarn
    }
    rebuild = int(kit.weights.rebuild * 1000)
    return Shelf({loom.name: loom.on_hand for loom in kit.loom}, yarns, turns, buy, rebuild)


def used(lines: Iterable[tuple[Line, int]]) -> dict[str, int]:
    """The mm of each yarn that so many of each line take."""
    found: dict[str, int] = {}
    for line, count in lines:
        found[line.way.yarn] = found.get(line.way.yarn, 0) + count * line.taken_mm
    return found

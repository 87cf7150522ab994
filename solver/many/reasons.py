"""Why somebody goes without: one reason each, the nearest to hand."""

from catalog.kit import Kit
from catalog.units import yarn_text
from solver.asking.wish import Wish
from solver.many.gather import Gathered
from solver.many.greedy import Left
from solver.many.groups import Group, Shares
from solver.many.shelf import Shelf
from solver.model.timing import Undecided

TIMES = {1: "already", 2: "both times"}


class Reasons:
    """Reasons of a finished plan; what is looked up for one is kept for all who ask the same."""

    def __init__(self, kit: Kit, shelf: Shelf, found: Gathered, shares: Shares, stopped: bool) -> None:
        self.kit, self.shelf, self.found, self.stopped = kit, shelf, found, stopped
        self.left = Left(shelf)
        for group, counts in zip(found.groups, shares, strict=True):
            for line, many in zip(group.lines, counts, strict=True):
                self.left.take(line, many)
        self.known: dict[tuple[int, str], str] = {}

    def of(self, row: int, wish: Wish) -> str:
        """The reason of one row."""
        at = self.found.place[row]
        key = (at, wish.unit)
        if key not in self.known:
            self.known[key] = self._of(at, wish)
        return self.known[key]

    def _of(self, at: int, wish: Wish) -> str:
        group = self.found.groups[at]
        if at in self.found.late:
            return "time ran out before it was looked at"
        if at in self.found.two_looms:
            return "every way to work it needs a second loom for a lesser piece, and with --turns that cannot be timed"
        if not group.lines:
            return self._alone(wish)
        return self._taken(group, wish.unit)

    def _alone(self, wish: Wish) -> str:
        """Nothing of the kit makes it, whatever the others have."""
        from solver.why.explain import diagnose, short_words

        try:
            return "no setup of this kit makes it: " + short_words(diagnose(self.kit, wish)).rstrip(".")
        except Undecided:
            return "no setup of this kit makes it; time ran out before it was clear why"

    def _taken(self, group: Group, unit: str) -> str:
        """Others have what it would need: the looms' turns, or the yarn."""
        lines = [line for line in group.lines if line.chance]
        if not lines:
            return "no setup of this kit is likely at all to fit"
        free = [line for line in lines if all(self.left.turns[name] != 0 for name in line.looms)]
        if not free:
            looms = sorted({name for line in lines for name in line.looms})
            which = "the loom that could make it is" if len(looms) == 1 else "every loom that could make it is"
            return f"{which} in use {TIMES.get(self.shelf.turns or 0, f'all {self.shelf.turns} times')}"
        if any(self.left.room(line, 1) for line in free):
            return "time ran out before it could be fitted in" if self.stopped else "others are served before it"
        thrifty = min(free, key=lambda line: (line.taken_mm, line.order))
        have = self.left.yarn[thrifty.way.yarn] or 0
        yarn, left = (yarn_text(mm * 1000, unit) for mm in (thrifty.taken_mm, have))
        where = " on the looms that have a turn left" if len(free) < len(lines) else ""
        return f"too little yarn is left: it takes {yarn} of {thrifty.way.yarn}{where}, where {left} is left"

"""A plan by plain greed: each ask in turn takes what fits best of what is left. What the solver starts from."""

from collections.abc import Callable, Sequence

from solver.many.groups import Group, Shares
from solver.many.line import Line
from solver.many.shelf import Shelf

Taste = Callable[[Line], tuple[object, ...]]  # what is taken first has the least of it


class Left:
    """What is left of yarn and turns while a plan is filled."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.yarn = {name: shelf.bounded(name) for name in shelf.yarns}
        self.turns = {name: shelf.turns_of(name) for name in shelf.looms}

    def room(self, line: Line, most: int) -> int:
        """How many more of a line there is yarn and turns for, at most `most`."""
        yarn = self.yarn[line.way.yarn]
        turns = [t for name in line.looms if (t := self.turns[name]) is not None]
        return min([most, *turns, *([] if yarn is None else [yarn // line.taken_mm])])

    def take(self, line: Line, count: int) -> None:
        """Take the yarn and the turns of so many of a line."""
        yarn = self.yarn[line.way.yarn]
        if yarn is not None:
            self.yarn[line.way.yarn] = yarn - count * line.taken_mm
        for name in line.looms:
            turns = self.turns[name]
            if turns is not None:
                self.turns[name] = turns - count


def likeliest(line: Line) -> tuple[object, ...]:
    """The best chance first, then the least yarn."""
    return (-line.chance, line.taken_mm)


def thriftiest(line: Line) -> tuple[object, ...]:
    """The most chance for its yarn first."""
    return (-line.chance / line.taken_mm, line.taken_mm)


def filled(groups: Sequence[Group], shelf: Shelf, shares: Shares, first: Taste) -> Shares:
    """The plan with every unserved ask served, in order of priority, that anything left may serve."""
    left = Left(shelf)
    new = [list(each) for each in shares]
    for group, counts in zip(groups, new, strict=True):
        for line, count in zip(group.lines, counts, strict=True):
            left.take(line, count)
    for g in sorted(range(len(groups)), key=lambda g: groups[g].priority):
        group = groups[g]
        for i in sorted(range(len(group.lines)), key=lambda i: first(group.lines[i])):
            line = group.lines[i]
            more = left.room(line, group.size - sum(new[g])) if line.chance else 0
            left.take(line, more)
            new[g][i] += more
    return tuple(tuple(each) for each in new)


def greedy(groups: Sequence[Group], shelf: Shelf, first: Taste = likeliest) -> Shares:
    """A plan from nothing."""
    return filled(groups, shelf, tuple((0,) * len(g.lines) for g in groups), first)


def chances(groups: Sequence[Group], shares: Shares, priority: int | None = None) -> int:
    """The sum of the chances of fit, 1/10 000, of all that is served, or of one priority."""
    return sum(
        line.chance * count
        for group, counts in zip(groups, shares, strict=True)
        if priority in (None, group.priority)
        for line, count in zip(group.lines, counts, strict=True)
    )

"""A ring of pegs and what lies on it: follows a sheet's neutral steps loop by loop, and objects to whatever cannot be
done. It takes nothing from solver/steps.py but the names of the steps and their fields."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any


class Wrong(AssertionError):
    """A step that cannot be done, or a piece that is not finished."""


@dataclass(eq=False)
class Loop:
    """One loop: the wrap of the cast-on or the row that made it, knit or purl, and what holds it below."""

    made_by: str
    purl: bool = False
    held_by: Loop | None = None  # the loop that was drawn through it
    threaded: bool = False  # the cut yarn runs through it


@dataclass
class Loom:
    """Pegs 1…n with their loops, bottom loop first; and the two ends of the yarn."""

    pegs: int
    on: dict[int, list[Loop]] = field(default_factory=dict)
    first_loops: dict[int, list[Loop]] = field(default_factory=dict)
    rows: list[str] = field(default_factory=list)  # one word of K and P for each row, along the pegs
    wraps: int = 0
    bound: list[int] = field(default_factory=list)
    tail: bool = False
    cut: bool = False
    threaded: list[int] = field(default_factory=list)
    shut: dict[str, list[int]] = field(default_factory=dict)
    fast: dict[str, bool] = field(default_factory=dict)
    checks: list[tuple[int, int, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.on = {peg: [] for peg in range(1, self.pegs + 1)}

    def follow(self, steps: Any) -> Loom:
        """Do the steps one by one."""
        for step in steps:
            getattr(self, "do_" + type(step).__name__)(step)
        return self

    # the cast-on

    def do_Tail(self, step: Any) -> None:
        need(not self.tail and step.tail_um >= 100_000, "one tail, long enough to sew with")
        self.tail = True

    def do_Wrap(self, step: Any) -> None:
        need(self.tail and not self.rows and not self.cut, "a cast-on begins from a hanging tail")
        self.wraps += 1
        for peg in step.pegs:
            loop = Loop(f"wrap {self.wraps}")
            self.lay(peg, loop)
            self.first_loops.setdefault(self.wraps, []).append(loop)

    def do_KnitOver(self, step: Any) -> None:
        for peg in step.pegs:
            self.over(peg)
        for peg in step.resting:
            need(len(self.on[peg]) == 1, f"peg {peg} rests with one loop, it holds {len(self.on[peg])}")
        need(sorted([*step.pegs, *step.resting]) == sorted(self.on), "every peg is knit over or rests")

    # rows

    def do_Rows(self, step: Any) -> None:
        need(step.first == len(self.rows) + 1, f"row {step.first} is called, {len(self.rows)} are worked")
        need(list(step.pegs) == sorted(self.on), "a round goes round all pegs in work")
        need(len(step.pegs) % len(step.pattern) == 0, "the repeat closes where the round meets itself")
        for _ in range(step.count):
            word = "".join(step.pattern[(peg - 1) % len(step.pattern)] for peg in step.pegs)
            for peg, stitch in zip(step.pegs, word, strict=True):
                self.work(peg, stitch)
            self.rows.append(word)
        for check in step.checks:
            need(step.first <= check.row <= len(self.rows), "a check stands in its own section")
            self.checks.append((check.row, check.rows, check.length_um))

    def work(self, peg: int, stitch: str) -> None:
        """One stitch: knit lays a loop above and lifts the old one over it, purl draws a loop up through the old."""
        need(not self.cut, "the yarn is cut")
        need(len(self.on[peg]) == 1, f"peg {peg} holds {len(self.on[peg])} loops before its stitch, not 1")
        self.lay(peg, Loop(f"row {len(self.rows) + 1}", purl=stitch == "P"))
        self.over(peg)

    def lay(self, peg: int, loop: Loop) -> None:
        need(len(self.on[peg]) < 2, f"peg {peg} already holds two loops")
        self.on[peg].append(loop)

    def over(self, peg: int) -> None:
        need(len(self.on[peg]) == 2, f"peg {peg} is knit over with {len(self.on[peg])} loops, not 2")
        low, high = self.on[peg]
        low.held_by = high
        self.on[peg] = [high]

    # ends

    def do_BindOff(self, step: Any) -> None:
        pegs = list(step.pegs)
        need(bool(self.rows) and pegs == sorted(self.on), "all pegs are bound off, after the last row")
        need(step.yarn_um > 0, "binding off takes yarn")
        self.work(pegs[0], "K")
        for before, peg in pairwise(pegs):
            self.work(peg, "K")
            self.on[before].append(self.on[peg].pop())  # moved back onto the neighbour
            self.over(before)
            self.on[peg].append(self.on[before].pop())  # and the one left, forward again
            self.bound.append(before)

    def do_Cut(self, step: Any) -> None:
        need(not self.cut and self.tail and bool(self.rows), "cut once, after the last row")
        need(step.tail_um >= 100_000, "the cut end is long enough to sew with")
        self.cut = True

    def do_Through(self, step: Any) -> None:
        need(self.cut, "only cut yarn can be threaded")
        for peg in step.pegs:
            need(len(self.on[peg]) == 1, f"the yarn passes one loop on peg {peg}, it holds {len(self.on[peg])}")
            self.on[peg][0].threaded = True
            self.threaded.append(peg)

    def do_LiftOff(self, step: Any) -> None:
        for peg in step.pegs:
            need([loop.threaded for loop in self.on[peg]] == [True], f"the loop of peg {peg} would run down")
            self.on[peg] = []

    def do_PullShut(self, step: Any) -> None:
        need(not any(self.on.values()), "an end is drawn shut off the loom")
        if step.end == "start":
            first, then = self.first_loops.get(1, []), self.first_loops.get(2, [])
            need(all(loop.held_by in then for loop in first), "the first loops are caught by the second")
            caught = [then.index(loop.held_by) + 1 for loop in first if loop.held_by]
            need(caught == list(step.pegs) and 2 * len(caught) == self.pegs, "the tail draws every other peg")
        else:
            need(list(step.pegs) == self.threaded == list(range(1, self.pegs + 1)), "the end draws every peg")
        self.shut[step.end] = list(step.pegs)

    def do_Secure(self, step: Any) -> None:
        need(not any(self.on.values()), "ends are made fast off the loom")
        need(step.shut == (step.end in self.shut), f"the {step.end} is made fast as what it is, shut or open")
        self.fast[step.end] = step.shut

    def finish(self) -> Loom:
        """Nothing lies on the loom, nothing can run down, no end of yarn is loose."""
        need(not any(self.on.values()), "a loop is left on the loom")
        loops = [loop for wrap in self.first_loops.values() for loop in wrap]
        need(bool(loops) and self.wraps <= 2, "there was a cast-on")
        need((self.wraps == 2) == ("start" in self.shut), "a start laid to be drawn is drawn, and no other")
        drawn_off = "end" in self.shut
        need(drawn_off or len(self.bound) == self.pegs - 1, "the last row is bound off or drawn shut")
        need(set(self.fast) == {"start", "end"}, "both ends of the yarn are made fast")
        return self


def need(holds: bool, words: str) -> None:
    """Object unless it holds."""
    if not holds:
        raise Wrong(words)

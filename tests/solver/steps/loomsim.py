"""A ring or row of pegs and what lies on it: follows a sheet's neutral steps loop by loop, and objects to whatever
cannot be done. It takes nothing from the program but the names of the steps and their fields."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any


class Wrong(AssertionError):
    """A step that cannot be done, or a piece that is not finished."""


@dataclass(eq=False)
class Loop:
    """One loop: the wrap or row that made it, knit or purl, and the loop that was drawn through it."""

    made_by: str
    purl: bool = False
    held_by: Loop | None = None
    threaded: bool = False  # the cut yarn runs through it
    again: int = 0  # a second peg that it was lifted onto


@dataclass
class Loom:
    """Pegs 1…n with their loops, lowest first; where the yarn hangs; and the two ends of the yarn.

    `opened`: the openings of pieces made before, by name, each with how many loops lie open on either edge.
    """

    pegs: int
    flat: bool = False
    opened: dict[str, int] = field(default_factory=dict)
    on: dict[int, list[Loop]] = field(default_factory=dict)
    laid: list[dict[int, Loop]] = field(default_factory=list)  # the cast-on, round by round
    slides: list[bool] = field(default_factory=list)  # and whether a round was woven, so that it can slide
    filled: bool = False
    kept: bool = False
    rows: list[str] = field(default_factory=list)  # a word of K and P along the pegs for each row of all pegs
    short: list[int] = field(default_factory=list)  # the stitches of each short row
    at: int | None = None
    picked: int = 0
    bound: list[int] = field(default_factory=list)
    scrap: list[int] = field(default_factory=list)
    tail: bool = False
    cut: bool = False
    threaded: list[int] = field(default_factory=list)
    shut: dict[str, list[int]] = field(default_factory=dict)
    fast: dict[str, bool] = field(default_factory=dict)
    seamed: bool = False
    checks: list[tuple[int, int, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.on = {peg: [] for peg in range(1, self.pegs + 1)}

    def follow(self, steps: Any) -> Loom:
        """Do the steps one by one."""
        for step in steps:
            getattr(self, "do_" + type(step).__name__)(step)
        return self

    def to(self, peg: int, skip: int = 0) -> None:
        """The yarn goes to a peg: to the next one either way, or the same again; round the loom unless flat."""
        if self.at is not None:
            away = abs(peg - self.at)
            away = away if self.flat else min(away, self.pegs - away)
            need(away <= 1 + skip, f"the yarn hangs at peg {self.at} and peg {peg} is out of its way")
        self.at = peg

    # the start

    def do_Tail(self, step: Any) -> None:
        need(not self.tail and step.tail_um >= 100_000, "one tail, long enough to sew with")
        self.tail = True

    def do_Wrap(self, step: Any) -> None:
        need(self.tail and not self.rows and not self.cut, "a cast-on begins from a hanging tail")
        self.laid.append({})
        self.slides.append(step.woven)
        for peg in step.pegs:
            self.to(peg, skip=1)
            self.laid[-1][peg] = Loop(f"wrap {len(self.laid)}")
            self.lay(peg, self.laid[-1][peg])

    def do_PickUp(self, step: Any) -> None:
        need(step.opening in self.opened and not any(self.on.values()), "loops are picked up from an opening")
        pegs = list(step.pegs)
        need(pegs == sorted(self.on) and len(pegs) // 2 == self.opened[step.opening], "one edge and the other")
        need(len(pegs) % 2 == 0 or self.flat, "in the round as many loops from either edge")
        for peg in pegs:
            self.lay(peg, Loop("picked up"))
        self.picked = len(pegs)

    def do_LiftEdge(self, step: Any) -> None:
        need(len(self.laid) == 1 and list(step.edge) == sorted(self.laid[0]), "the edge is that of the cast-on")
        for edge, peg in zip(step.edge, reversed(step.pegs), strict=True):
            loop = self.laid[0][edge]
            need(loop.held_by is not None and not loop.again, "an edge is lifted once it hangs below its rows")
            loop.again = peg
            self.lay(peg, loop)

    def do_KnitOver(self, step: Any) -> None:
        for peg in step.pegs:
            self.over(peg)
        for peg in step.resting:
            need(len(self.on[peg]) == 1, f"peg {peg} rests with one loop, it holds {len(self.on[peg])}")
        need(sorted([*step.pegs, *step.resting]) == sorted(self.on), "every peg is knit over or rests")

    # rows

    def do_Rows(self, step: Any) -> None:
        need(step.first == len(self.rows) + 1, f"row {step.first} is called, {len(self.rows)} are worked")
        need(list(step.pegs) == sorted(self.on) and step.flat == self.flat, "a row takes all pegs in work")
        inside = self.pegs - 2 * step.edge
        need(inside % len(step.pattern) == 0, "the repeat closes where the round meets itself")
        word = "K" * step.edge + step.pattern * (inside // len(step.pattern)) + "K" * step.edge
        for _ in range(step.count):
            back = self.flat and len(self.rows) % 2 == 0  # the cast-on ended at the last peg
            for peg in reversed(step.pegs) if back else step.pegs:
                self.work(peg, word[peg - 1])
            self.rows.append(word)
        for check in (c for c in (step.early, step.done) if c):
            need(step.first <= check.row <= len(self.rows), "a check stands in its own section")
            self.checks.append((check.row, check.rows, check.length_um))

    def do_ShortRows(self, step: Any) -> None:
        """To and fro: each row ends one peg earlier, and that peg gets a wrap under its loop; then each one later."""
        pegs, least = list(step.pegs), step.least
        low, high, up, wraps = 0, len(pegs) - 1, True, list[int]()
        need(
            self.at in (None, pegs[0], pegs[0] - 1, self.pegs),
            "short rows begin where the yarn hangs",
        )
        while high - low + 1 > least:
            turn = high if up else low
            low, high = (low, high - 1) if up else (low + 1, high)
            self.short_row(pegs[low : high + 1], up)
            self.to(pegs[turn])
            wraps.append(pegs[turn])
            need(len(self.on[pegs[turn]]) == 1, "a turn wraps under the one loop of a peg")
            self.on[pegs[turn]].insert(0, Loop("turn"))
            up = not up
        while high - low + 1 < len(pegs):
            low, high = (low, high + 1) if up else (low - 1, high)
            need(0 <= low and high < len(pegs), "a row takes up a peg that it has, ahead of the yarn")
            self.short_row(pegs[low : high + 1], up)
            wraps.remove(pegs[high if up else low])
            up = not up
        need(not wraps, f"wraps not taken up: pegs {wraps}")
        need(self.at == pegs[0], f"the last short row ends at peg {self.at}, and the next begins at peg {pegs[0]}")

    def short_row(self, pegs: list[int], up: bool) -> None:
        need(bool(pegs), "an empty row")
        start = pegs[0] if up else pegs[-1]
        if self.at is not None:
            ahead = start - self.at if up else self.at - start
            need(ahead in (0, 1, 1 - self.pegs), f"a row begins at peg {start}, behind the yarn at peg {self.at}")
        for peg in pegs if up else reversed(pegs):
            self.work(peg, "K")
        self.short.append(len(pegs))

    def work(self, peg: int, stitch: str) -> None:
        """One stitch: knit lays a loop above and lifts the old one over it, purl draws a loop up through the old."""
        self.to(peg)
        need(self.tail and not self.cut, "the yarn hangs from the work, uncut")
        wrapped = [loop for loop in self.on[peg] if loop.made_by == "turn"]
        need(len(self.on[peg]) == 1 + len(wrapped), f"peg {peg} holds {len(self.on[peg])} loops before its stitch")
        fresh = Loop(f"row {len(self.rows) + 1}", purl=stitch == "P")
        for loop in self.on[peg]:
            loop.held_by = fresh
        self.on[peg] = [fresh]

    def do_Opening(self, step: Any) -> None:
        need(bool(self.rows) and not self.scrap, "an opening lies between two rows")
        for peg in step.pegs:
            need(len(self.on[peg]) == 1, "scrap yarn knits over the one loop of a peg")
            fresh = Loop("scrap")
            self.on[peg][0].held_by = fresh
            self.on[peg] = [fresh]
            self.scrap.append(peg)

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
        need(bool(self.rows) and sorted(pegs) == sorted(self.on), "all pegs are bound off, after the last row")
        need(step.yarn_um > 0, "binding off takes yarn")
        self.work(pegs[0], "K")
        for before, peg in pairwise(pegs):
            self.work(peg, "K")
            self.on[before].append(self.on[peg].pop())  # moved back onto the neighbour
            self.over(before)
            self.on[peg].append(self.on[before].pop())  # and the one left, forward again
            self.bound.append(before)

    def do_Sew(self, step: Any) -> None:
        """Forward two, back one, with a cut end: three strands hold each loop before it leaves its peg."""
        pegs = list(step.pegs)
        need(self.cut and bool(self.rows) and sorted(pegs) == sorted(self.on), "cut yarn sews all pegs off")
        need(step.round != self.flat, "a tube is sewn to its beginning, something flat is not")
        self.to(pegs[0])
        sewn: dict[Loop, int] = {}
        loops = {peg: self.on[peg][0] for peg in pegs}
        for i, peg in enumerate(pegs):
            need(len(self.on[peg]) == 1, f"the needle passes one loop on peg {peg}, it holds {len(self.on[peg])}")
            self.to(peg)
            after = pegs[i + 1] if i + 1 < len(pegs) else pegs[0] if step.round else peg
            for passed in (peg, after, peg):
                sewn[loops[passed]] = sewn.get(loops[passed], 0) + 1
            need(sewn[loops[peg]] >= 2, f"the loop of peg {peg} would run down")
            loops[peg].threaded, self.on[peg] = True, []
            self.bound.append(peg)
        need(
            sorted(sewn.values())[0 if step.round else 1] >= 3,
            "three strands hold every loop, but the first of a flat edge",
        )

    def do_Cut(self, step: Any) -> None:
        need(not self.cut and self.tail and bool(self.rows), "cut once, after the last row")
        need(step.tail_um >= 100_000, "the cut end is long enough to sew with")
        self.cut = True

    def do_Through(self, step: Any) -> None:
        need(self.cut, "only cut yarn can be threaded")
        for peg in step.pegs:
            need(len(self.on[peg]) == 1, f"the yarn passes one loop on peg {peg}, it holds {len(self.on[peg])}")
            self.to(peg)
            self.on[peg][0].threaded = True
            self.threaded.append(peg)

    def do_LiftOff(self, step: Any) -> None:
        for peg in step.pegs:
            need([loop.threaded for loop in self.on[peg]] == [True], f"the loop of peg {peg} would run down")
            self.on[peg] = []

    def do_Fill(self, step: Any) -> None:
        need(not any(self.on.values()) and "end" not in self.shut, "filled off the loom while an end is open")
        self.filled = True

    def do_PullShut(self, step: Any) -> None:
        need(not any(self.on.values()), "an end is drawn shut off the loom")
        if step.end == "start":
            need(len(self.laid) == 2, "a start that is drawn was laid in two rounds")
            first, then = self.laid
            need(self.slides == [True, False], "full turns lock: only a woven first round can be drawn")
            caught = [peg for peg, loop in first.items() if loop.held_by is then[peg]]
            need(caught == list(step.pegs), "the tail runs through the loops of the first round")
            need(caught == list(range(1, self.pegs, 2)) and self.pegs % 2 == 0, "which lie on every other peg")
        else:
            need("start" not in self.shut or self.filled, "a piece closed all round is filled before it closes")
            need(list(step.pegs) == self.threaded, "the end is drawn by the yarn that was threaded")
            need(sorted(step.pegs) == list(range(1, self.pegs + 1)), "the end draws every peg")
        self.shut[step.end] = list(step.pegs)

    def do_SewUp(self, step: Any) -> None:
        need(self.flat and self.fast.get("end", False), "what was worked flat is sewn up from its closed tip")
        need(step.rows == len(self.rows), "the seam runs along every row")
        self.seamed = True

    def do_Secure(self, step: Any) -> None:
        need(not any(self.on.values()), "ends are made fast off the loom")
        need(step.shut == (step.end in self.shut), f"the {step.end} is made fast as what it is, shut or open")
        self.fast[step.end] = step.shut
        self.kept = step.kept

    def do_Join(self, step: Any) -> None:
        need(self.kept and self.filled, "sewn on with the tail of its last end, which was left hanging")
        self.kept = False

    def finish(self) -> Loom:
        """Nothing lies on the loom, nothing can run down, no end of yarn is loose."""
        need(not any(self.on.values()), "a loop is left on the loom")
        need(bool(self.laid) != bool(self.picked), "there was a cast-on, or loops were picked up")
        every = [peg for wrap in self.laid for peg, loop in wrap.items() for peg in (peg, loop.again)]
        need(bool(self.picked) or set(every) - {0} == set(self.on), "every peg was cast on")
        need(all(loop.held_by for wrap in self.laid for loop in wrap.values()), "no loop of the cast-on can run down")
        need((len(self.laid) == 2) == ("start" in self.shut), "a start laid to be drawn is drawn, and no other")
        need(
            "end" in self.shut or len(self.bound) in (self.pegs - 1, self.pegs),
            "the last row is bound off or drawn shut",
        )
        need(self.seamed == bool(self.flat and self.picked), "flat work on an opening becomes a tube by a seam")
        need(not self.kept, "a tail left hanging sews the piece on")
        need(set(self.fast) == {"start", "end"}, "both ends of the yarn are made fast")
        return self


def need(holds: bool, words: str) -> None:
    """Object unless it holds."""
    if not holds:
        raise Wrong(words)

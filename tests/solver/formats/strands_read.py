"""A drawing of an edge read back from its page: which loop lies round which peg, what the yarn goes through, and how.

It knows SVG and geometry, and takes nothing from the program. What is drawn later lies above what is drawn before it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import html5lib

Point = tuple[float, float]
Spot = tuple[float, float, int]  # x, y, and how late it is drawn
FINE = 12  # points for each cubic


@dataclass(frozen=True)
class Crossing:
    """Where one strand crosses another: how far along itself, where, and whether it lies above."""

    along: float
    at: Point
    over: bool
    other: str


@dataclass
class Seen:
    """One frame: pegs by their place (x, y, radius, number), strands by name, and what is said of it."""

    title: str
    desc: str
    box: tuple[float, float]
    pegs: list[tuple[float, float, float, str]] = field(default_factory=list)
    strands: dict[str, list[Spot]] = field(default_factory=dict)

    @property
    def loops(self) -> dict[str, list[Spot]]:
        """The loops by their names."""
        return {name: line for name, line in self.strands.items() if name.startswith("loop ")}

    def peg(self, number: str) -> tuple[float, float, float, str]:
        """The peg of a number."""
        return next(peg for peg in self.pegs if peg[3] == number)


def edges_of(page: str) -> list[list[Seen]]:
    """The drawings of edges on a page, each the frames that it has."""
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    holders = [e for e in tree.iter("div") if e.get("class") == "frames"]
    return [[_frame(svg) for svg in holder.iter() if str(svg.tag).endswith("svg")] for holder in holders]


def _frame(svg: Any) -> Seen:
    parts = [(str(e.tag).rpartition("}")[2], e) for e in svg.iter()]
    text = {tag: (e.text or "").strip() for tag, e in parts if tag in ("title", "desc")}
    width, height = (float(n) for n in svg.get("viewBox").split()[2:])
    seen = Seen(text["title"], text["desc"], (width, height))
    numbers = {(_n(e, "x"), _n(e, "y")): e.text for tag, e in parts if tag == "text"}
    for tag, e in parts:
        if tag == "circle":
            x, y, r = (_n(e, key) for key in ("cx", "cy", "r"))
            near = [t for (tx, ty), t in numbers.items() if abs(tx - x) < 1 and 0 < ty - y < r]
            seen.pegs.append((x, y, r, near[0] if near else ""))
    pieces: dict[str, list[tuple[int, list[Spot]]]] = {}
    outline = ""
    for late, (tag, e) in enumerate(parts):
        kind = (e.get("class") or "").split()
        if tag == "path" and "strand" in kind:
            assert outline == e.get("d"), "each part has its outline drawn just before it"
            line = [(x, y, late) for x, y in points(e.get("d"))]
            pieces.setdefault(e.get("data-strand"), []).append((int(e.get("data-place")), line))
        outline = e.get("d") if "cord" in kind else ""
    for name, found in pieces.items():
        seen.strands[name] = _joined(name, [line for _, line in sorted(found, key=lambda each: each[0])])
    return seen


def _joined(name: str, lines: list[list[Spot]]) -> list[Spot]:
    for one, other in pairwise(lines):
        assert abs(one[-1][0] - other[0][0]) + abs(one[-1][1] - other[0][1]) < 0.3, f"{name} is torn"
    return [spot for line in lines for spot in line]


def _n(e: Any, key: str) -> float:
    return float(e.get(key))


def points(path: str) -> list[Point]:
    """A path of one M and cubics, as points close to each other."""
    assert re.fullmatch(r"M[-\d.,]+( C[-\d.,]+ [-\d.,]+ [-\d.,]+)+", path), path
    knots = [tuple(float(n) for n in pair.split(",")) for pair in re.findall(r"[-\d.]+,[-\d.]+", path)]
    found: list[Point] = [(knots[0][0], knots[0][1])]
    for i in range(0, len(knots) - 1, 3):
        four = knots[i : i + 4]
        for step in range(1, FINE + 1):
            t = step / FINE
            share = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            found.append((sum(s * k[0] for s, k in zip(share, four, strict=True)),
                          sum(s * k[1] for s, k in zip(share, four, strict=True))))  # fmt: skip
    return found


def crossings(mine: list[Spot], other: list[Spot], name: str = "") -> list[Crossing]:
    """Where one strand crosses another, in order along the first."""
    found: list[Crossing] = []
    for i, (a, b) in enumerate(pairwise(mine)):
        for c, d in pairwise(other):
            if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
                continue
            t = _meets(a, b, c, d)
            if t is not None:
                at = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                assert b[2] != d[2], "two parts drawn at once cannot cross"
                found.append(Crossing(i + t, at, b[2] > d[2], name))
    return sorted(found, key=lambda each: each.along)


def _meets(a: Spot, b: Spot, c: Spot, d: Spot) -> float | None:
    """How far along a–b it meets c–d; the ends of either count once."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    turn = ux * vy - uy * vx
    if abs(turn) < 1e-12:
        return None
    t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / turn
    s = ((c[0] - a[0]) * uy - (c[1] - a[1]) * ux) / turn
    return t if 0 <= t < 1 and 0 <= s < 1 else None


def inside(point: Point, line: list[Spot]) -> bool:
    """Whether a place lies in what a strand encloses, closed from its end to its start."""
    x, y = point
    odd = False
    for (ax, ay, _), (bx, by, _) in pairwise([*line, line[0]]):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            odd = not odd
    return odd


def round_pegs(frame: Seen, loop: str) -> list[str]:
    """The numbers of the pegs that a loop lies round."""
    return [peg[3] for peg in frame.pegs if inside(peg[:2], frame.strands[loop])]


def passes(frame: Seen) -> list[tuple[str, str]]:
    """What the yarn goes through, in order: each loop, and whether it comes "up" through it or goes "down".

    It is through a loop where it lies under it once and over it once, with the hole between; twice over, or twice
    under, it only lies across.
    """
    yarn = frame.strands["yarn"]
    met = sorted((c for name, line in frame.loops.items() for c in crossings(yarn, line, name)), key=lambda c: c.along)
    assert len(met) % 2 == 0, "into a loop and not out again"
    through = []
    for one, other in zip(met[::2], met[1::2], strict=True):
        assert one.other == other.other, f"from {one.other} into {other.other}"
        assert one.over != other.over, f"the yarn lies across {one.other} and not through it"
        middle = ((one.at[0] + other.at[0]) / 2, (one.at[1] + other.at[1]) / 2)
        assert inside(middle, frame.loops[one.other]), f"not through the hole of {one.other}"
        through.append((one.other.removeprefix("loop "), "down" if one.over else "up"))
    return through


def clear_of_pegs(frame: Seen, half: float = 4.5) -> None:
    """No yarn lies on a peg: it goes round or past."""
    for name, line in frame.strands.items():
        for x, y, r, number in frame.pegs:
            least = min(((px - x) ** 2 + (py - y) ** 2) ** 0.5 for px, py, _ in line)
            assert least >= r + half - 0.6, f"{name} lies on peg {number}: {least:.1f}"

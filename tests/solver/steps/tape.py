"""What a sheet says that a tape will show, held against what the hands have worked at the gauge of the plan."""

from __future__ import annotations

import math
import re

from tests.solver.steps.hands import Hands, need
from tests.solver.steps.printed import PrintedPiece, length_mm

MARKS = 3.5  # mm: a tape is read to the nearest quarter inch or half centimetre
LENGTH = r"((?:\d[\d ./]*)(?:in|cm))"


def measures(piece: PrintedPiece, hands: Hands, width_mm: float, height_mm: float) -> None:
    """Every length and count told of a piece, on the way and when it is done. Raises Wrong."""
    for rows, told in hands.measured:
        near(told, rows * height_mm, f"{rows} rows")
    for each in hands.counted:
        counts(each, width_mm, height_mm)
    done = {name: words for name, words in piece.done.items() if name != "Asked for"}
    girth = (hands.pegs - hands.seamed) * width_mm
    wide = hands.flat and not hands.seamed
    near(first(done.pop("Wide" if wide else "Round")), girth, "girth")
    if not wide:
        near(first(done.pop("Laid flat")), girth / 2, "laid flat")
    _long(done, hands, girth, height_mm)
    if "Band" in done:
        near(first(done.pop("Band")), _band(hands) * height_mm, "band")
    if "Rib at rest" in done:
        near(first(done.pop("Rib at rest")), 0.7 * girth, "rib at rest")
    need(not done, f"nobody knows how to measure {done}")


def counts(told: str, width_mm: float, height_mm: float) -> None:
    """So many stitches and rows over a length, to a half, as a person counts them. Raises Wrong."""
    said = re.match(r"(\d+)( 1/2)? stitches and (\d+)( 1/2)? rows over (\d+ (?:in|cm))", told)
    need(said is not None, f"which gauge? {told}")
    stitches, half, rows, other, over = said.groups()  # type: ignore[union-attr]
    for what, many, part, each in (("stitches", stitches, half, width_mm), ("rows", rows, other, height_mm)):
        found = int(many) + bool(part) / 2
        need(abs(length_mm(over) / each - found) <= 0.26, f"{found} {what} of {each:.2f} mm over {over}")


def _band(hands: Hands) -> float:
    """Rows of one band: a piece that begins and ends with one has two alike."""
    return hands.ribbed / (2 if hands.rib_runs == 2 else 1)


def _long(done: dict[str, str], hands: Hands, girth: float, height: float) -> None:
    """Its rows are its length, but for cups of short rows and for what is filled; its parts add up to it."""
    long, worked = first(done.pop("Long")), hands.row * height
    if "As worked" in done:
        near(first(done.pop("As worked")), worked, "as worked")
        worked -= girth / math.pi  # a radius of either drawn end
    if "Of it" in done:
        cups = [length_mm(each) for each in re.findall(LENGTH, done.pop("Of it"))]
        need(len(cups) == hands.cups, f"{len(cups)} cups are told, {hands.cups} are worked")
        for cup in cups:
            near(cup, girth / 4, "a cup of short rows")
        worked += len(cups) * girth / 4
    near(long, worked, "long")
    for above in ("Leg", "Cuff"):
        if above in done:
            upper = done.pop(above)
            near(first(done.pop("Foot")) + first(upper), worked, f"foot and {above}", marks=2 * MARKS)
            rib = re.search(rf"its rib is {LENGTH} deep", upper)
            if rib or "all of it rib" in upper:
                near(length_mm(rib[1]) if rib else first(upper), hands.ribbed * height, "the rib of the cuff")
    if "Without the cuff" in done:
        near(first(done.pop("Without the cuff")), worked - hands.ribbed * height, "without the cuff")


def first(words: str) -> float:
    """The first length in some words, mm."""
    found = re.search(LENGTH, words)
    need(found is not None, f"no length in {words}")
    return length_mm(found[1])  # type: ignore[index]


def near(told: float, made: float, what: str, marks: float = MARKS) -> None:
    """Within a mark of the tape."""
    need(abs(told - made) <= marks, f"{what}: {told:.1f} mm are told, {made:.1f} mm are made")

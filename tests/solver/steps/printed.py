"""A sheet as it is printed, read back line by line: pieces with their steps, what is taught, and the rows to tick.

It knows the words of the text sheet and takes nothing from the program.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field


class Wrong(AssertionError):
    """Words that cannot be read, a step that cannot be done, or a piece that is not finished."""


@dataclass
class PrintedPiece:
    """One piece: its pegs, how often it is made, and its steps and checks in order, each one text."""

    name: str
    pegs: int
    flat: bool
    ring: bool
    copies: int = 1
    steps: list[str] = field(default_factory=list)
    loom: dict[str, str] = field(default_factory=dict)  # how its loom is set up
    done: dict[str, str] = field(default_factory=dict)  # what it measures when it is done


@dataclass
class Printed:
    """A whole sheet. `ticks` are the lines to tick, each (label, first row, last row), rows 0 for a thing done once."""

    summary: str
    facts: dict[str, str]
    taught: list[str]
    pieces: list[PrintedPiece]
    ticks: list[tuple[str, int, int]]
    care: list[str] = field(default_factory=list)


def read_sheet(text: str) -> Printed:
    """The sheet that a text says."""
    head, *parts = re.split(r"\n\n(?=\S)", text.strip("\n"))
    sheet = Printed(head.split("\n", 1)[1].replace("\n", " "), {}, [], [], [])
    for part in parts:
        title, *lines = part.split("\n")
        if title == "What you need":
            sheet.facts = facts(lines)
        elif title == "The stitches":
            sheet.taught = gathered(lines, r"  - ")
        elif title.startswith("Set up the loom"):
            sheet.pieces.append(_piece(title, lines))
        elif title == "Rows to tick off":
            sheet.ticks = _ticks(lines)
        elif title == "When it is done":
            _done(sheet, lines)
        elif title == "Take care":
            sheet.care = gathered(lines, r"   ! ")
        elif sheet.pieces:
            sheet.pieces[-1].steps += [f"# {title}", *gathered(lines, r"(?=.{4}\. ) *\d+\. | {3}\? |  (?=After row)")]
    return sheet


def _done(sheet: Printed, lines: list[str]) -> None:
    """The measures of each piece, under its name and copies where there are several."""
    at = [i for i, line in enumerate(lines) if re.match(r"  \S.*, \d+ cop(?:y|ies):$", line)]
    if len(at) != (len(sheet.pieces) if len(sheet.pieces) > 1 else 0):
        raise Wrong(f"{len(at)} pieces are measured, {len(sheet.pieces)} are made")
    for i, piece in enumerate(sheet.pieces):
        head, upto = (at[i], at[i + 1] if i + 1 < len(at) else len(lines)) if at else (-1, len(lines))
        if at and lines[head].strip().lower().split(" cop")[0] != f"{piece.name}, {piece.copies}":
            raise Wrong(f"{lines[head].strip()}, where {piece.copies} of the {piece.name} are made")
        piece.done = facts(lines[head + 1 : upto])


def facts(lines: list[str]) -> dict[str, str]:
    """Names and what is said of them; a line that goes on stands further in."""
    found: dict[str, str] = {}
    name = ""
    for line in lines:
        new = re.match(r"  (\S.*?)  +(\S.*)$", line)
        if new and not line.startswith("   "):
            name, found[new[1]] = new[1], new[2]
        elif name and line.startswith("     "):
            found[name] += " " + line.strip()
        else:
            name = ""
    return found


def gathered(lines: list[str], lead: str) -> list[str]:
    """Texts that begin with `lead`, their further lines joined on; commands to type are left out."""
    found: list[str] = []
    for line in lines:
        if re.match(lead, line):
            found.append(re.sub(rf"^(?:{lead})", "", line).strip())
        elif found and "--rows-done" not in line and line.startswith("    "):
            found[-1] += " " + line.strip()
    return found


def _piece(title: str, lines: list[str]) -> PrintedPiece:
    loom = facts(lines)
    told = loom["In work"]
    of = re.search(r"\((.*)\)$", title)
    many = re.search(r"Make (\d+) alike", " ".join(lines))
    patterns = (r"all (\d+) pegs", r"pegs 1 to (\d+) of (?:one side|the ring)", r", (\d+) in all", r"^(\d+) pegs?: set")
    pegs = next((int(found[1]) for each in patterns if (found := re.search(each, told))), 0)
    if not pegs:
        raise Wrong(f"how many pegs are in work? {told}")
    words = " ".join(lines)
    ring = told.startswith("all ") or " of the ring" in told
    sided = re.search(r"\bsides?\b|corner", words)
    if ring and sided:
        raise Wrong(f"a ring has no {sided[0]}: {words}")
    return PrintedPiece(of[1] if of else "", pegs, "to and fro" in told, ring, int(many[1]) if many else 1, loom=loom)


def _ticks(lines: list[str]) -> list[tuple[str, int, int]]:
    found: list[tuple[str, int, int]] = []
    label, mark = "", False
    for line in lines:
        rows = re.match(r" {2,}(\d+)(?:-(\d+))? +\[ \]", line)
        if rows:
            first, last = int(rows[1]), int(rows[2] or rows[1])
            if line.count("[ ]") != last - first + 1:
                raise Wrong(f"{last - first + 1} rows and {line.count('[ ]')} boxes: {line}")
            found.append((label, first, last))
            mark = False
        elif line.startswith("  [ ] "):
            found.append((line[6:], 0, 0))
            mark = True
        elif mark and line.startswith("      "):
            found[-1] = (f"{found[-1][0]} {line.strip()}", 0, 0)
        else:
            label, mark = line.strip(), False
    return found


def peg_list(words: str) -> list[int]:
    """The pegs of "peg 7", "pegs 16 to 1", "pegs 1, 3, 5, … 83", "pegs 2, 4 and 6"."""
    numbers = [int(n) for n in re.findall(r"\d+", words)]
    if " to " in words:
        first, last = numbers
        return list(range(first, last + 1) if first <= last else range(first, last - 1, -1))
    if "…" not in words:
        return numbers
    step = numbers[1] - numbers[0]
    whole = list(range(numbers[0], numbers[-1] + step, step))
    if whole[: len(numbers) - 1] != numbers[:-1] or whole[-1] != numbers[-1]:
        raise Wrong(f"which pegs are {words}?")
    return whole


def length_mm(words: str) -> float:
    """A printed length: "6 in", "106 1/2 in", "3/4 in", "15 cm", "27.5 cm"."""
    found = re.fullmatch(r"(?:(\d+(?:\.\d+)?))?(?: ?(\d)/(\d))? (in|cm)", words)
    if not found or not (found[1] or found[2]):
        raise Wrong(f"how long is {words}?")
    size = float(found[1] or 0) + (int(found[2]) / int(found[3]) if found[2] else 0)
    return size * (25.4 if found[4] == "in" else 10)

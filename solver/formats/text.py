"""A sheet as plain text, folded to a width; each line comes with its role, so that a terminal may style it."""

from collections.abc import Iterator
from textwrap import wrap
from typing import assert_never

from solver.formats.blocks import Block, Cautions, CheckUp, Drawing, Facts, Mark, Points, Sheet, StepList, Ticks, Words

Line = tuple[str, str]  # role (title, heading, plain, label, step, check, command, caution, tick), text


def text_lines(sheet: Sheet, width: int = 80) -> Iterator[Line]:
    """The lines of a sheet, none wider than `width` but commands, and words that are longer."""
    for line in wrap(sheet.title, width):
        yield "title", line
    yield from _folded("plain", sheet.summary, width)
    for part in sheet.parts:
        yield "plain", ""
        yield from _folded("heading", part.title, width)
        for block in part.blocks:
            yield from _block(block, width)


def _block(block: Block, width: int) -> Iterator[Line]:
    match block:
        case Words():
            yield from _folded("plain", block.text, width, "  ")
        case Facts():
            yield from _facts(block, width)
        case Points():
            for item in block.items:
                yield from _folded("plain", item, width, "  - ")
        case StepList():
            for number, sentences in enumerate(block.steps, block.first):
                yield from _folded("step", " ".join(sentences), width, f"{number:>4}. ")
        case CheckUp():
            yield from _folded("check", " ".join(block.sentences), width, "   ? ")
            if block.command:
                yield "command", f"     {block.command}"  # on one line, to be copied
        case Cautions():
            for item in block.items:
                yield from _folded("caution", item, width, "   ! ")
        case Ticks():
            yield from _ticks(block, width)
        case Mark():
            yield from _folded("tick", block.label, width, "  [ ] ")
        case Drawing():
            pass  # a drawing repeats what the text says
        case _:
            assert_never(block)


def _facts(block: Facts, width: int) -> Iterator[Line]:
    wide = max(len(name) for name, _ in block.rows)
    for name, text in block.rows:
        yield from _folded("label", text, width, f"  {name:<{wide}}  ")


def _ticks(block: Ticks, width: int) -> Iterator[Line]:
    """A line for every ten rows: their numbers, a box for each, a gap after five."""
    yield from _folded("label", block.label, width, "  ")
    for rows in block.tens:
        before = (rows[0] - 1) % 10
        boxes = ["   "] * before + ["[ ]"] * len(rows)
        span = f"{rows[0]}-{rows[-1]}" if len(rows) > 1 else str(rows[0])
        fives = [" ".join(boxes[:5]), " ".join(boxes[5:])]
        if width >= 60:
            yield "tick", f"  {span:>9}  {fives[0]}   {fives[1]}".rstrip()
        else:
            yield "tick", f"  {span:>9}  {fives[0]}".rstrip()
            yield "tick", f"{'':13}{fives[1]}".rstrip()


def _folded(role: str, text: str, width: int, lead: str = "") -> Iterator[Line]:
    """A text folded under its lead; words are never broken, so that a command can be copied."""
    inside = " " * len(lead)
    for line in wrap(text, width, initial_indent=lead, subsequent_indent=inside, break_long_words=False,
                     break_on_hyphens=False) or [lead.rstrip()]:  # fmt: skip
        yield role, line

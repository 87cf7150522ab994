"""A sheet as Markdown: headings, lists, tables; rows to tick as boxes that print."""

import re
from collections.abc import Iterator
from typing import assert_never

from solver.formats.blocks import Block, Cautions, CheckUp, Drawing, Facts, Mark, Points, Sheet, StepList, Ticks, Words
from solver.formats.strands import EdgePicture

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~&])")


def markdown_of(sheet: Sheet) -> str:
    """The whole sheet; names and words are escaped, so that none of them turns into markup."""
    lines = [f"# {plain(sheet.title)}", "", plain(sheet.summary), ""]
    for part in sheet.parts:
        lines += [f"## {plain(part.title)}", ""]
        for block in part.blocks:
            lines += [*_block(block), ""]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines))


def plain(text: str) -> str:
    """A text that Markdown shows as it is."""
    safe = _SPECIAL.sub(r"\\\1", text)
    return re.sub(r"^(\d+)([.)])|^([-+])", lambda m: f"{m[1]}\\{m[2]}" if m[1] else f"\\{m[3]}", safe)


def _block(block: Block) -> Iterator[str]:
    match block:
        case Words():
            yield plain(block.text)
        case Facts():
            yield from ("| | |", "|---|---|")
            yield from (f"| {plain(name)} | {plain(text)} |" for name, text in block.rows)
        case Points():
            yield from (f"- {plain(item)}" for item in block.items)
        case StepList():
            for number, sentences in enumerate(block.steps, block.first):
                yield f"{number}. {plain(' '.join(sentences))}"
        case CheckUp():
            yield from (f"> {plain(sentence)}" for sentence in block.sentences)
            yield from (">", f">     {block.command}") if block.command else ()
        case Cautions():
            yield from (f"- **Care:** {plain(item)}" for item in block.items)
        case Ticks():
            yield from _ticks(block)
        case Mark():
            yield f"☐ {plain(block.label)}"
        case Drawing():
            yield f"*{plain(_seen(block))}*"
        case _:
            assert_never(block)


def _seen(drawing: Drawing) -> str:
    """What a drawing shows, in words: frame by frame where it has several."""
    if not isinstance(drawing.picture, EdgePicture):
        return drawing.caption
    return " ".join((drawing.caption, *(f"({n}) {f.words}" for n, f in enumerate(drawing.picture.frames, 1))))


def _ticks(block: Ticks) -> Iterator[str]:
    yield from (f"**{plain(block.label)}**", "", "| rows | |", "|---|---|")
    for rows in block.tens:
        boxes = "".join("☐" + (" " if row % 5 == 0 else "") for row in rows)
        yield f"| {rows[0]}–{rows[-1]} | {boxes.strip()} |"

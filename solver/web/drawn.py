"""A loom of the kit, or what a form says of one so far, as an SVG: the drawing that the sheets have."""

import re
from collections.abc import Mapping

from catalog.kit import Loom
from solver.formats.looms import LoomShape, loom_picture
from solver.web.pages import drawing_style, environment

MOST_PEGS, MOST_ACROSS = 400, 60  # what a form may ask to be drawn


def standing(loom: Loom) -> LoomShape:
    """A loom with all its pegs in work; a frame as it is set up, or, where nobody said, on its longest boards."""
    if loom.build == "ring":
        return _ring(loom.pegs)
    if loom.build == "slider":
        return _slider(loom.pegs_most)
    pegs = {board.name: board.pegs(loom.pitch_um) for board in loom.side_boards}
    ends = {board.name: board.pegs(loom.pitch_um) for board in loom.end_boards}
    stands = loom.set_up_as
    sides = stands.sides if stands else (max(pegs, key=lambda name: (pegs[name], name)),)
    end = stands.ends if stands else max(ends, key=lambda name: (ends[name], name), default="")
    boards = tuple((name, pegs[name]) for name in sides)
    along = (stands.pegs_per_side if stands else None) or sum(n for _, n in boards)
    return _frame(boards, along, ends.get(end or "", 0), end or "")


def described(typed: Mapping[str, str]) -> LoomShape | None:
    """A loom that is perhaps half typed; None where there is nothing to draw yet."""

    def whole(key: str, most: int = MOST_PEGS) -> int:
        text = typed.get(key, "")
        return min(int(text), most) if text.isdecimal() and len(text) < 10 else 0

    build = typed.get("build")
    if build == "ring":
        shape = _ring(whole("pegs"))
    elif build == "slider":
        shape = _slider(whole("pegs_most"))
    else:
        along = whole("side1_pegs", MOST_PEGS // 2)
        shape = _frame((("side board", along),), along, whole("end1_pegs", MOST_ACROSS), "end")
    return shape if shape.pegs >= 4 and (shape.ring or shape.along >= 2) else None


def svg_of(shape: LoomShape | None) -> str:
    """The picture as a document of its own, which brings its style along; without a shape, a word that says so."""
    picture = None if shape is None else loom_picture(shape, "the loom from above")
    svg = environment().get_template("drawing.svg.j2").render(picture=picture).strip()
    tag, _, inside = svg.partition(">")
    tag = re.sub(r' (?:width|height|xmlns)="[^"]*"', "", tag)  # a page gives its drawing a width, a file has its own
    size = f'xmlns="http://www.w3.org/2000/svg" width="560" height="{picture.height if picture else 120:g}"'
    return f"{tag} {size}>" + inside.replace("</svg>", f"<style>{drawing_style()}</style></svg>")


def _ring(pegs: int) -> LoomShape:
    return LoomShape(pegs, "K" * pegs, ring=pegs)


def _slider(most: int) -> LoomShape:
    along = most // 2
    return LoomShape(2 * along, "K" * (2 * along), along=along, boards=(("", along),), to_scale=False)


def _frame(boards: tuple[tuple[str, int], ...], along: int, across: int, end: str) -> LoomShape:
    pegs = 2 * (along + across)
    return LoomShape(pegs, "K" * pegs, along=along, boards=boards, across=across, end=end, to_scale=across > 0)

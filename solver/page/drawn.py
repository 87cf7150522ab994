"""From a plan to its drawings: the shapes that solver/sheet draws, each with its caption."""

from collections.abc import Iterator
from dataclasses import replace

from catalog.units import half_up
from solver.formats.blocks import Drawing
from solver.formats.looms import LoomShape, loom_picture
from solver.formats.tubes import TubeMark, TubePart, TubeShape, tube_picture
from solver.page.fitting import cup_lengths
from solver.plan.saved import SavedPlan
from solver.report.find import PiecePlan
from solver.steps.step import Opening, PieceSteps, Rows, ShortRows
from solver.terms import Terms, count, listed, some


def loom_drawings(plan: SavedPlan, piece: PieceSteps) -> Iterator[Drawing]:
    """The loom from above as it is begun, and with the rib marked where there is one."""
    first = piece.drawn_start or range(0)
    seen = f"The {piece.loom} from above: {count(piece.pegs, 'peg')} in work, numbered from peg 1"
    shape = _shape(plan, piece, "K" * piece.pegs, tuple(first))
    seen += "" if shape.to_scale else "; how far the sides are apart is not to scale"
    past = " A stroke outside a peg: woven past on the outside in the first round, round none" if first else ""
    begin = f"{seen}.{past}" + (f" ({some(first)})." if first else "")
    yield Drawing(loom_picture(shape, begin), begin)
    for rows in {r.pattern: r for r in piece.rows if "P" in r.pattern}.values():
        words = f"{rows.title[:1].upper()}{rows.title[1:]}: an open circle is a knit peg, a filled square a purl peg."
        sides = "".join(rows.side(peg) for peg in rows.pegs)
        yield Drawing(loom_picture(_shape(plan, piece, sides, ()), words), words)


def _shape(plan: SavedPlan, piece: PieceSteps, sides: str, first: tuple[int, ...]) -> LoomShape:
    made = plan.option.pieces[plan.place(piece.name)]
    loom = plan.loom(made.loom)
    begins = piece.pegs if piece.flat and piece.picked_up else 1  # to and fro the first row begins at the last peg
    shape = LoomShape(made.pegs, sides, first, flat=piece.flat, begins=begins)
    if loom.build == "ring":
        return replace(shape, ring=loom.pegs_most)
    if loom.build == "slider":
        along = loom.pegs_most // 2 if piece.flat else made.pegs // 2
        odd = made.pegs % 2 == 1 and not piece.flat
        return replace(shape, along=along, boards=(("", loom.pegs_most // 2),), odd=odd, to_scale=False)
    boards = tuple((name, loom.side_boards[name]) for name in made.side_boards)
    across = made.pegs_per_end or 0
    along = made.pegs_per_side or sum(pegs for _, pegs in boards)
    return replace(shape, along=along, boards=boards, across=across, end=made.end_board or "", to_scale=across > 0)


def tube_drawing(plan: SavedPlan, piece: PiecePlan, steps: PieceSteps, terms: Terms) -> Drawing:
    """The finished piece laid flat, to scale."""
    girth = half_up(piece.girth_mm * 1000)
    open_flat = steps.flat and not steps.sewn_up
    wide = girth if open_flat else girth // 2
    parts, marks = _parts(plan, piece, steps, terms)
    long, beside = _long(piece, sum(p.length_um for p in parts), marks, terms)
    words = f"The {piece.name} laid flat, to scale: {terms.tape(wide)} across, {long}."
    start = "picked up" if steps.picked_up else "cast on"
    shape = TubeShape(
        parts,
        marks,
        steps.drawn_start is not None or steps.cup_start is not None,
        steps.drawn_end,
        f"{start}, drawn shut" if steps.drawn_start else start,
        "drawn shut" if steps.drawn_end else terms.word["bound_off"] + (", sewn" if steps.sewn else ""),
        f"{terms.tape(wide)} across" + ("" if open_flat else f", {terms.tape(girth)} round"),
        beside,
        start_gathered=steps.cup_start is None,
    )
    return Drawing(tube_picture(shape, words), words)


def _long(piece: PiecePlan, drawn: int, marks: tuple[TubeMark, ...], terms: Terms) -> tuple[str, str]:
    """How long it is, and what the line beside the drawing says, as long as `drawn`: no heel, no filling."""
    whole = terms.tape(half_up(piece.lengths[0].mm * 1000))
    if piece.lengths[0].mm < piece.length_mm:
        worked = f"as worked {terms.tape(drawn)}"
        return f"{worked} ({whole} when it is finished)", worked
    apart = [m.label for m in marks if m.bulges]
    if apart:
        rest = f"without the {listed(apart)} {terms.tape(drawn)}"
        return f"{whole} long, {rest}", rest
    return f"{whole} long", f"{terms.tape(drawn)} long"


def _parts(
    plan: SavedPlan, piece: PiecePlan, steps: PieceSteps, terms: Terms
) -> tuple[tuple[TubePart, ...], tuple[TubeMark, ...]]:
    """The stretches of the piece from its start on, and what lies between them: openings and heels."""
    girth, option = half_up(piece.girth_mm * 1000), plan.option
    wide = girth if steps.flat and not steps.sewn_up else girth // 2
    drawn_in = option.band_relaxed_girth_mm / option.girth_mm if option.band_relaxed_girth_mm else 1.0
    row = plan.ways[plan.place(piece.name)].gauge.height_um
    parts: list[TubePart] = []
    marks: list[TubeMark] = []
    cups = dict(cup_lengths(plan, piece, steps))
    for step in steps.steps:
        at = sum(p.length_um for p in parts)
        if isinstance(step, Rows) and step.count:
            length, ribbed = step.count * row, "P" in step.pattern
            flat = half_up(wide * drawn_in) if ribbed else wide
            parts.append(TubePart(length, flat, ribbed, f"{terms.title(step.title)}, {terms.tape(length)}"))
        elif isinstance(step, ShortRows):
            deep = cups[step]
            if parts:
                marks.append(TubeMark(at, deep, True, step.title.split()[-1]))
            else:
                parts.append(TubePart(deep, wide, False, f"{step.title.split()[-1]}, {terms.tape(deep)}"))
        elif isinstance(step, Opening):
            marks.append(TubeMark(at, len(step.pegs) * girth // piece.pegs, False, "opening"))
    return tuple(parts), tuple(marks)

"""What stands on a sheet, part by part, for any plan: steps with their words, figures and drawings."""

from collections.abc import Iterator

from catalog.item import item
from catalog.units import half_up
from solver.formats.blocks import Block, Cautions, CheckUp, Mark, Part, Points, Sheet, StepList, Ticks, Words
from solver.page.drawn import loom_drawings, tube_drawing
from solver.page.edges_drawn import edge_drawing
from solver.page.fitting import finished_facts
from solver.page.readying import loom_facts, need_facts
from solver.page.step_words import step_words, stitch_words
from solver.page.words_rows import adjust_command, check_words, reached_words
from solver.plan.saved import SavedPlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import (
    BindOff,
    Cut,
    Fill,
    Join,
    LiftEdge,
    LiftOff,
    Opening,
    PickUp,
    PieceSteps,
    PullShut,
    Rows,
    Secure,
    Sew,
    SewUp,
    ShortRows,
    Step,
    Through,
)
from solver.terms import Terms, count, lengths_said, some

LEFT_HANDED = "Left-handed? Look at the drawing in a mirror and work the other way: every count stays the same."


def sheet_of(plan: SavedPlan, reader: str = "us", file: str | None = None) -> Sheet:
    """The sheet of a plan. `reader` is "us" or "uk"; `file` is what it is saved as, if it is, to be typed."""
    terms, option = Terms(reader, plan.unit), plan.option
    recipe = item(plan.item, plan.wish.recipes)
    main, flat = option.pieces[0], plan_steps(plan)[0].flat
    long = lengths_said((n.name, terms.tape(um(n.mm))) for n in main.lengths)
    size = f"{terms.tape(um(option.girth_mm))} {'wide' if flat else 'round'}, {long}"
    strands = "" if option.strands == 1 else f", {option.strands} strands held together"
    summary = (
        f"{count(option.pegs, 'peg')} on the {option.loom}, {option.yarn}{strands}, {option.stitch}, "
        f"{count(main.rows_total, 'row')}."
    )
    parts = [_needs(plan, terms)]
    for piece in plan_steps(plan):
        parts += _piece_parts(plan, piece, terms, file)
    parts += [Part("measures", "When it is done", tuple(_done(plan, terms)))]
    if plan.cautions:
        parts.append(Part("care", "Take care", (Cautions(tuple(plan.cautions)),)))
    parts.append(Part("ticks", "Rows to tick off", tuple(_ticks(plan_steps(plan), terms))))
    return Sheet(f"{recipe.title[:1].upper()}{recipe.title[1:]}: {size}", summary, tuple(parts))


def um(mm: float) -> int:
    """A plan's millimetres as whole µm."""
    return half_up(mm * 1000)


def _needs(plan: SavedPlan, terms: Terms) -> Part:
    notes = (Points(tuple(plan.notes)),) if plan.notes else ()
    return Part("needs", "What you need", (need_facts(plan, plan_steps(plan), terms), *notes))


def _piece_parts(plan: SavedPlan, piece: PieceSteps, terms: Terms, file: str | None) -> Iterator[Part]:
    """The parts of one piece: the loom, the stitches, the cast-on, its rows, its end, and closing it."""
    several, first = len(plan.option.pieces) > 1, piece.name == plan.option.pieces[0].name
    of, key = (f" ({piece.name})", f"-{piece.name.replace(' ', '-')}") if several else ("", "")
    facts, changes = loom_facts(plan, piece)
    copies = [Words(f"Make {piece.copies} alike: follow this once for each.")] if piece.copies > 1 else []
    pegs = [Words(f"{_numbered(piece)} {LEFT_HANDED}")] if first else []
    loom: tuple[Block, ...] = (*copies, facts, *changes, *pegs, *loom_drawings(plan, piece))
    yield Part(f"loom{key}", f"Set up the loom{of}", loom)
    if first:
        stitches = Points(tuple(stitch_words(plan_steps(plan), plan.option.stitch)))
        yield Part("stitches", "The stitches", (stitches,))
    number = 1
    for title, steps in _chapters(piece, terms):
        blocks = _chapter(plan, piece, steps, terms, file, number)
        yield Part(f"step-{number}{key}", f"{title}{of}", blocks)
        number += len(steps)


def _numbered(piece: PieceSteps) -> str:
    """Where the counting of the pegs begins, and which way it goes."""
    if piece.flat and piece.ring:
        return "Pegs are counted from peg 1, the one nearest to you, to the right along the ring."
    if piece.flat:
        return "Pegs are counted from peg 1, at the left of the side nearest to you, to the right."
    first = "at the left of the side nearest to you" if piece.corners else "the one nearest to you"
    return f"Pegs are counted from peg 1, {first}, to the right and round the loom."


def _chapters(piece: PieceSteps, terms: Terms) -> Iterator[tuple[str, list[Step]]]:
    """Steps that belong together, each group under its title."""
    groups: list[tuple[str, list[Step]]] = []
    for step in piece.steps:
        title = _title(step, piece, terms)
        if groups and groups[-1][0] == title:
            groups[-1][1].append(step)
        else:
            groups.append((title, [step]))
    yield from groups


def _title(step: Step, piece: PieceSteps, terms: Terms) -> str:
    match step:
        case Rows():
            span = f"Row {step.first}" if step.count == 1 else f"Rows {step.first} to {step.last}"
            return f"{span}, {terms.title(step.title)}"
        case ShortRows():
            return f"{2 * step.narrowing} short rows: {step.title}"
        case Opening():
            return "The opening"
        case Fill():
            return "Fill it"
        case Secure() if piece.sewn_up and step.end == "start":
            return "Sew it up"
        case PullShut() | Secure():
            return "Draw it shut" if piece.drawn_start or piece.drawn_end else "Make the ends fast"
        case BindOff() | Sew() | Cut() | Through() | LiftOff():
            off = terms.word["bind_off"].capitalize()
            return "Gather off" if piece.drawn_end else f"{off} with the needle" if piece.sewn else off
        case SewUp():
            return "Sew it up"
        case Join():
            return "Sew it on"
        case LiftEdge():
            return "Close the cup"
        case _:
            return "Pick up the opening" if piece.picked_up else "Cast on"


def _chapter(
    plan: SavedPlan, piece: PieceSteps, steps: list[Step], terms: Terms, file: str | None, number: int
) -> tuple[Block, ...]:
    """The steps as numbered lists, with what to measure after the rows."""
    blocks = list(_worked(piece, steps, terms, number))
    for rows in steps:
        if isinstance(rows, Rows) and rows.early:
            stitch_um = plan.ways[plan.place(piece.name)].gauge.width_um
            sentences = tuple(check_words(rows.early, terms, stitch_um, kept=file is not None))
            blocks.append(CheckUp(sentences, adjust_command(rows.early, terms, file) if file else ""))
        if isinstance(rows, Rows):
            blocks.append(Words(reached_words(rows.done, terms, piece)))
    return tuple(blocks)


def _worked(piece: PieceSteps, steps: list[Step], terms: Terms, number: int) -> Iterator[Block]:
    """The steps as a list, which a drawing interrupts below the step that it shows."""
    told: list[tuple[str, ...]] = []
    for step in steps:
        told.append(tuple(step_words(step, terms, piece)))
        drawing = edge_drawing(step, piece, terms)
        if drawing or step is steps[-1]:
            yield StepList(tuple(told), number)
            number, told = number + len(told), []
        if drawing:
            yield drawing


def _done(plan: SavedPlan, terms: Terms) -> Iterator[Block]:
    several = len(plan.option.pieces) > 1
    for piece, steps in zip(plan.option.pieces, plan_steps(plan), strict=True):
        if several:
            yield Words(f"{piece.name[:1].upper()}{piece.name[1:]}, {count(piece.copies, 'copy', 'copies')}:")
        yield finished_facts(plan, piece, steps, terms)
        yield tube_drawing(plan, piece, steps, terms)


def _ticks(pieces: tuple[PieceSteps, ...], terms: Terms) -> Iterator[Block]:
    """Every copy of every piece, section by section; short rows are counted by themselves."""
    for piece in pieces:
        for copy in range(1, piece.copies + 1):
            of = f"{piece.name}, {copy} of {piece.copies}: " if piece.copies > 1 else f"{piece.name}: "
            label = of if len(pieces) > 1 or piece.copies > 1 else ""
            for i, step in enumerate(piece.steps):
                name = f"{piece.name}-{copy}-{i}".replace(" ", "-")
                said = _mark(step, terms)
                if said:
                    yield Mark(f"{label}{said}", name)
                if isinstance(step, ShortRows):
                    yield Ticks(f"{label}{step.title}, short rows", name, 1, 2 * step.narrowing)
                elif isinstance(step, Rows) and step.count:
                    title = f"{label}{terms.title(step.title)}"
                    if step.early and step.early.row < step.last:
                        yield Ticks(title, name, step.first, step.early.row)
                        yield Mark(f"{label}check after row {step.early.row}: measure and count", f"{name}-check")
                        yield Ticks(title, f"{name}-on", step.early.row + 1, step.last)
                    else:
                        yield Ticks(title, name, step.first, step.last)


def _mark(step: Step, terms: Terms) -> str:
    """What is ticked off beside the rows; nothing for steps that are rows, or go without saying."""
    match step:
        case Opening():
            return f"the opening: {some(step.pegs)} with {terms.word['scrap_yarn']}, before the next row"
        case PickUp():
            return terms.say("{many} picked up, the {scrap_yarn} out", many=count(len(step.pegs), "loop"))
        case LiftEdge():
            return "the cast-on edge lifted onto the empty pegs"
        case BindOff():
            return f"{terms.word['binding_off']}"
        case Sew():
            return f"{terms.word['binding_off']} with the needle"
        case Through() if len(step.pegs) > 1:
            return "the cut end threaded through every loop"
        case Fill():
            return "filled, before the last end closes"
        case SewUp():
            return "the seam sewn"
        case PullShut():
            return f"the {step.end} drawn shut"
        case Join():
            return f"sewn to the {step.to}"
        case _:
            return ""

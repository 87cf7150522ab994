"""A plan as one run of entries to do one after the other: every row, opening, check and end, as the sheet has them."""

from collections.abc import Iterator
from dataclasses import dataclass

from solver.page.step_words import step_words
from solver.page.words_rows import check_words
from solver.plan.saved import SavedPlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import (
    BindOff,
    Check,
    Cut,
    Fill,
    Join,
    KnitOver,
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
    Tail,
    Through,
    Wrap,
)
from solver.terms import Terms, count


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing to do. `row` is the piece's row, 0 for what is no row of all pegs; `check` is measured after it."""

    part: str
    title: str
    words: tuple[str, ...]
    row: int = 0
    check: Check | None = None

    @property
    def is_row(self) -> bool:
        """Whether it is a row of all pegs."""
        return self.row > 0 and self.check is None


def run_of(plan: SavedPlan, reader: str = "us") -> list[Entry]:
    """The whole run, every copy of every piece."""
    terms = Terms(reader, plan.unit)
    return [
        entry for piece in plan_steps(plan) for copy in range(piece.copies) for entry in _copy(plan, piece, copy, terms)
    ]


def _copy(plan: SavedPlan, piece: PieceSteps, copy: int, terms: Terms) -> Iterator[Entry]:
    several = len(plan.option.pieces) > 1 or piece.copies > 1
    where = plan.option.pieces[plan.place(piece.name)]
    part = f"{piece.name}, {copy + 1} of {piece.copies}" if piece.copies > 1 else piece.name if several else ""
    if copy == 0:
        yield from _set_up(plan, piece, where.loom, part)
    for step in piece.steps:
        words = tuple(step_words(step, terms, piece))
        if isinstance(step, Rows):
            yield from _rows(plan, piece, step, part, words, terms)
        elif isinstance(step, ShortRows):
            yield from _short(step, part, words)
        else:
            yield Entry(part, TITLES[type(step)], words)


def _rows(
    plan: SavedPlan, piece: PieceSteps, step: Rows, part: str, words: tuple[str, ...], terms: Terms
) -> Iterator[Entry]:
    of = f"of {piece.rows[-1].last}" if piece.rows else ""
    for row in range(step.first, step.last + 1):
        yield Entry(part, f"Row {row} {of}, {terms.title(step.title)}", words, row)
        if step.early and row == step.early.row and row < step.last:
            stitch = plan.ways[plan.place(piece.name)].gauge.width_um
            yield Entry(
                part,
                f"Check after row {row}",
                (*check_words(step.early, terms, stitch, kept=True)[:2], OTHERWISE),
                row,
                step.early,
            )


def _short(step: ShortRows, part: str, words: tuple[str, ...]) -> Iterator[Entry]:
    for n in range(1, 2 * step.narrowing + 1):
        yield Entry(part, f"Short row {n} of {2 * step.narrowing}, {step.title}", words)


def _set_up(plan: SavedPlan, piece: PieceSteps, loom: str, part: str) -> Iterator[Entry]:
    """What to change on the loom, each a tick of its own; where it stands right, one look at it."""
    changes = plan.option.changes if piece.name == plan.option.pieces[0].name else []
    if not changes:
        words = f"{count(piece.pegs, 'peg')} in work. The drawing is further down, under “Set up the loom”."
        yield Entry(part, f"Set up the {loom}", (words,))
    for number, change in enumerate(changes, 1):
        yield Entry(part, f"Set up the {loom}, {number} of {len(changes)}", (change,))


OTHERWISE = "If it is otherwise, write below what you counted, and see what follows; else it is done."
TITLES: dict[type[Step], str] = {  # but for rows, which say which they are; a test holds that no kind is forgotten
    Tail: "Leave a tail",
    Wrap: "Cast on",
    PickUp: "Pick up the opening",
    LiftEdge: "Lift the edge",
    KnitOver: "Knit over",
    Opening: "The opening",
    BindOff: "Bind off",
    Sew: "Bind off with the needle",
    Cut: "Cut the yarn",
    Through: "Thread through",
    LiftOff: "Lift off",
    Fill: "Fill it",
    PullShut: "Draw it shut",
    SewUp: "Sew it up",
    Join: "Sew it on",
    Secure: "Make it fast",
}


def rows_done(run: list[Entry], done: int) -> int:
    """Rows of all pegs worked of the piece in hand, when so many entries are done."""
    part = run[min(done, len(run) - 1)].part if run else ""
    return max((e.row for e in run[:done] if e.is_row and e.part == part), default=0)


def back_to(run: list[Entry], done: int, row: int) -> int:
    """How many entries are done when the piece in hand has just its first `row` rows."""
    part = run[min(done, len(run) - 1)].part if run else ""
    here = [i for i, e in enumerate(run) if e.part == part]
    kept = [i for i in here if run[i].is_row and run[i].row <= row]
    if kept:
        return kept[-1] + 1
    return next((i for i in here if run[i].is_row), here[0] if here else 0)

"""Options kept as plans, the page to follow, and a second look half-way."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from solver.door.answers import answer, explained
from solver.door.asks import a_kit, a_wish, not_a
from solver.model.timing import within

if TYPE_CHECKING:
    from catalog.kit import Kit
    from catalog.outputs import Outputs
    from solver.asking.wish import Wish
    from solver.formats.blocks import Sheet
    from solver.plan.answer import Answer
    from solver.plan.saved import SavedPlan
    from solver.report.adjust import AdjustReport
    from solver.report.clash import ClashReport
    from solver.report.find import FindReport


def sheet(kit: "Kit", wish: "Wish", option: int = 1, words: str = "us") -> "Sheet | FindReport | ClashReport":
    """The page to follow at the loom, for the best or a chosen option, in neutral blocks; `words` is "us" or "uk".

    `solver.formats` turns it into text, Markdown or HTML. Where there is no setup, what `find` says.
    """
    from dataclasses import replace

    from solver.asking.read import ask_whole
    from solver.page.contents import sheet_of

    rank = ask_whole(1, 1000)("option", option)
    got = answer(kit, replace(a_wish(wish), top=rank))
    if not got.report.options:
        return got.report if not got.report.complete else explained(kit, wish, got)
    return sheet_of(plan_of(got, wish, option=rank), words)


def adjust(
    kit: "Kit", plan: "SavedPlan | str | Path", *, rows_done: int, stitches: "str | Sequence[str]",
    rows: "str | Sequence[str]", seconds: float | None = None,
) -> "AdjustReport":  # fmt: skip
    """A piece half-way on the loom, and what was counted on it ("17 over 4 in", once or more): what now?

    `plan` is a saved plan or its file; `rows_done` are the rows worked, the loops cast on not counted. In the
    `seconds` that it may take the piece is judged first, and then the best setup for starting again is looked for.
    """
    from solver.asking.read import ask_seconds, ask_whole
    from solver.halfway.adjust import adjust as adjusted

    done = ask_whole(-10_000, 10_000)("rows_done", rows_done)  # the plan says which of them there are
    seconds = None if seconds is None else ask_seconds("seconds", seconds)
    with within(seconds):
        return adjusted(a_kit(kit), load_plan(plan), done, *_counts(stitches, rows))


def kept_as(
    kit: "Kit", plan: "SavedPlan", stitches: "str | Sequence[str]", rows: "str | Sequence[str]"
) -> dict[str, object]:
    """The `[[swatch]]` that the counts on a piece are kept as."""
    from solver.halfway.restart import kept_as as kept

    return kept(plan, a_kit(kit), *_counts(stitches, rows))


def _counts(stitches: object, rows: object) -> "tuple[list[dict[str, object]], list[dict[str, object]]]":
    from catalog.errors import Fault
    from solver.asking.read import ask_counts
    from solver.asking.words import Reading

    told = Reading({"stitches": stitches, "rows": rows})
    for field, value, example in (("stitches", stitches, "17 over 4in"), ("rows", rows, "21 over 4in")):
        if value is None:
            told.faults.append(Fault(field, "nothing", f'a count over a length, such as "{example}"'))
    wide, high = told.take("stitches", ask_counts), told.take("rows", ask_counts)
    told.done()
    return wide or [], high or []


def plan_of(answer: "Answer", wish: "Wish", kit: str | None = None, option: int = 1) -> "SavedPlan":
    """One option of an answer as a plan that can be kept; `kit` is the kit's file."""
    from solver.asking.read import ask_whole
    from solver.plan.answer import Answer
    from solver.plan.saved import plan_of as planned

    if not isinstance(answer, Answer):
        raise not_a("answer", answer, "what answer returns")
    if not isinstance(kit, str | None):
        raise not_a("kit", kit, "the name of the kit's file, or None for the one built in")
    return planned(answer, a_wish(wish), kit, ask_whole(1, 1000)("option", option))


def load_plan(plan: "SavedPlan | str | Path") -> "SavedPlan":
    """The plan in a file. Raises InputError that says what was found and what was expected."""
    from solver.plan.saved import SavedPlan
    from solver.plan.saved import load_plan as read

    if isinstance(plan, SavedPlan):
        return plan
    if not isinstance(plan, str | Path):
        raise not_a("plan", plan, "a saved plan, or the name of its file")
    return read(Path(plan))


def save_plan(plan: "SavedPlan", path: Path, outputs: "Outputs") -> None:
    """Write a plan as one JSON document, whole or not at all. Raises InputError where it cannot be written."""
    from solver.plan.saved import save_plan as save

    save(plan, path, outputs)


def kit_places(plan: "SavedPlan", file: Path) -> list[Path]:
    """Where the kit of a plan in that file may be, the likeliest place first."""
    from solver.plan.saved import kit_places as places

    return places(plan, file)

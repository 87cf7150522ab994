"""A page where nothing fits: the sentence, what would help and how to ask for it, the sizes in reach."""

from collections.abc import Iterator

from catalog.errors import as_typed
from solver.asking.wish import Wish
from solver.formats.blocks import Block, Cautions, CheckUp, Facts, Part, Points, Sheet, StepList, Words
from solver.formats.html import render
from solver.formats.markdown import markdown_of
from solver.page.plot import strips_of, title_of
from solver.plan.answer import Answer
from solver.report.clash import ClashReport, RepairPlan
from solver.terms import Terms

NO_HELP = "No rule that may give helps: another kit or another size is needed."


def why_not_page(answer: Answer, clash: ClashReport, wish: Wish, reader: str = "us") -> str:
    """One HTML file, with the girths in reach of every loom drawn."""
    return render(
        "whynot.html.j2",
        title=_headed(answer, wish, reader),
        says=clash.says,
        notes=clash.notes,
        repairs=list(_repairs(clash, wish)),
        no_help=NO_HELP,
        strips=strips_of(answer, wish.unit),
        looms=_looms(clash),
        care=[Cautions(tuple(clash.cautions))] if clash.cautions else [],
    )


def why_not_markdown(answer: Answer, clash: ClashReport, wish: Wish, reader: str = "us") -> str:
    """The same words as Markdown; for what the drawing shows, each loom says its girths in reach where it is judged."""
    help_: list[Block] = []
    for number, (says, command) in enumerate(_repairs(clash, wish), 1):
        help_ += [StepList(((says,),), number), *([CheckUp((), command)] if command else [])]
    notes = (Part("notes", "Notes", (Points(tuple(clash.notes)),)),) if clash.notes else ()
    looms, care = _looms(clash), tuple(clash.cautions)
    parts = (
        *notes,
        Part("help", "What would help", tuple(help_) or (Words(NO_HELP),)),
        *((Part("looms", "On each loom", (looms,)),) if looms else ()),
        *((Part("care", "Take care", (Cautions(care),)),) if care else ()),
    )
    return markdown_of(Sheet(_headed(answer, wish, reader), clash.says, parts))


def _headed(answer: Answer, wish: Wish, reader: str) -> str:
    return f"{title_of(answer, wish, Terms(reader, wish.unit))}: not with this kit"


def _looms(clash: ClashReport) -> Facts | None:
    return Facts(tuple((each.loom, f"{each.says}.") for each in clash.looms)) if clash.looms else None


def _repairs(clash: ClashReport, wish: Wish) -> Iterator[tuple[str, str]]:
    """Each repair, and the command that asks for it; none for what changes the kit."""
    for repair in clash.repairs:
        yield repair.says, "" if repair.kit else _typed(wish.item, repair)


def _typed(name: str, repair: RepairPlan) -> str:
    """The command that asks for a repair."""
    said = (f"--{word}" + ("" if text == "True" else f" {as_typed(text)}") for word, text in repair.asks.items())
    return f"pegwright find {as_typed(name)} {' '.join(said)}"

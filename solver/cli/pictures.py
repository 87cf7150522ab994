"""What `find` draws beside its table: the page of the choice, and its plot as a file."""

from pathlib import Path
from typing import TYPE_CHECKING

from solver.cli.options import Asked

if TYPE_CHECKING:
    from catalog.outputs import Outputs
    from solver.plan.answer import Answer
    from solver.report.clash import ClashReport


def draw_why_not(
    nothing: "Answer",
    report: "ClashReport",
    asked: Asked,
    page: Path | None,
    words: str,
    outputs: "Outputs",
    markdown: Path | None = None,
) -> None:
    """Write the page of why nothing fits, as HTML and as Markdown, whichever is wanted."""
    from solver.cli.sheet import write
    from solver.page.why_not import why_not_markdown, why_not_page

    if page:
        write(outputs, page, why_not_page(nothing, report, asked.wish, words).encode())
    if markdown:
        write(outputs, markdown, why_not_markdown(nothing, report, asked.wish, words).encode())


def draw(got: "Answer", asked: Asked, page: Path | None, plot: Path | None, words: str, outputs: "Outputs") -> None:
    """Write the page and the plot that are wanted, whole or not at all."""
    from solver.cli.sheet import write
    from solver.page.plot import choice_page, plot_file

    if plot:
        write(outputs, plot, plot_file(got.report, asked.wish.unit, plot))
    if page:
        kit = str(asked.path) if asked.path else None
        write(outputs, page, choice_page(got, asked.wish, kit, words).encode())

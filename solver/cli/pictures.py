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

    files = {page: why_not_page(nothing, report, asked.wish, words)} if page else {}
    if markdown:
        files[markdown] = why_not_markdown(nothing, report, asked.wish, words)
    for path, text in files.items():
        write(outputs, path, text.encode())


def drawn(got: "Answer", asked: Asked, page: Path | None, plot: Path | None, words: str) -> dict[Path, bytes]:
    """The plot and the page that are wanted, each with its file; nothing is written before all of it is drawn."""
    if not (page or plot):
        return {}
    from solver.page.plot import choice_page, plot_file

    files = {plot: plot_file(got.report, asked.wish.unit, plot)} if plot else {}
    if page:
        kit = str(asked.path) if asked.path else None
        files[page] = choice_page(got, asked.wish, kit, words).encode()
    return files

"""Where no setup holds all rules: the clash and its repairs on stdout, exit code 1."""

from typing import TYPE_CHECKING, NoReturn

import typer

from solver.cli.data import put_json
from solver.cli.options import Asked

if TYPE_CHECKING:
    from collections.abc import Callable

    from solver.plan.answer import Answer
    from solver.report.clash import ClashReport


def say_why_not(asked: Asked, nothing: "Answer", draw: "Callable[[ClashReport], None] | None" = None) -> NoReturn:
    """Explain, as JSON or in words (for CSV on stderr: of data there is the header alone), and end with exit code 1.

    `draw` writes a page of it, where one is wanted.
    """
    from solver.cli.progress import progress
    from solver.door import clash_lines, explained, is_late

    with progress("looking for what would let one exist"):
        report = explained(asked.kit, asked.wish, nothing)
    if draw is not None:
        draw(report)
    if asked.json:
        put_json(report)
    else:
        from solver.cli.table import folded, notes_lines, say, terminal_width

        width = terminal_width()
        lines = [
            *folded(clash_lines(report, more=asked.more), width),
            *notes_lines(report.notes, report.cautions, width, more=asked.more),
        ]
        say(*lines, talk=asked.csv)
    raise typer.Exit(3 if is_late(report) else 1)

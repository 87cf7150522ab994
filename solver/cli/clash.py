"""Where no setup holds all rules: the clash and its repairs on stdout, exit code 1."""

from typing import NoReturn

import typer

from solver.cli.data import put_json
from solver.cli.options import Asked
from solver.model.ask import Ask
from solver.model.timing import Undecided


def say_why_not(asked: Asked, ask: Ask) -> NoReturn:
    """Explain, as JSON or in words (for CSV on stderr: of data there is the header alone), and end with exit code 1."""
    from solver.cli.progress import progress
    from solver.why.explain import LATE, explain, text_lines

    try:
        with progress("looking for what would let one exist"):
            report = explain(asked.kit, asked.wish, ask)
    except Undecided:
        raise Undecided("proven: no setup holds all rules; not yet: why") from None
    if asked.json:
        put_json(report)
    else:
        from solver.cli.table import folded, notes_lines, say, terminal_width

        width = terminal_width()
        lines = [
            *folded(text_lines(report, asked.more), width),
            *notes_lines(report.notes, report.cautions, width, more=asked.more),
        ]
        say(*lines, talk=asked.csv)
    raise typer.Exit(3 if LATE in report.notes else 1)

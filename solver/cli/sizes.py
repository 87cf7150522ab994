"""`pegwright sizes ITEM`: one item over a run of sizes, the page that a teacher hands to a class."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from solver.cli.data import put, put_json
from solver.cli.filename import file_name
from solver.cli.options import HOW, OUT, WHAT, Asked, asking
from solver.cli.sheet import Force, outputs_of, write

if TYPE_CHECKING:
    from solver.report.check import SizeRow, SizesReport

FIGURES = ("pegs", "rows_total", "rows_plain", "rows_band", "loom", "side_boards", "end_board", "pegs_per_side",
           "spacers", "yarn", "strands", "yarn_m", "balls")  # fmt: skip
HEADS = ("size", "body", "girth × length", "pegs", "rows", "yarn")
RIGHT = frozenset({1, 2, 3, 4, 5})  # columns of numbers


@asking
def sizes_command(
    asked: Asked,
    sizes: Annotated[
        str | None,
        typer.Option(
            "--sizes", metavar="LEN,LEN…", help="Body girths or sizes by name; else every body of the catalogue.",
            rich_help_panel=WHAT,
        ),
    ] = None,
    same: Annotated[
        list[str] | None,
        typer.Option(
            "--same", metavar="loom|yarn|spacers", help="Alike for every size, chosen for all; may be given again.",
            rich_help_panel=HOW,
        ),
    ] = None,
    html: Annotated[
        Path | None,
        typer.Option(
            "--html", metavar="FILE", help="Write a page for the class.", rich_help_panel=OUT, parser=file_name("html")
        ),
    ] = None,
    force: Force = False,
    units: Annotated[
        str | None,
        typer.Option(metavar="in|cm", help="Print lengths in in or cm; else as typed.", rich_help_panel=OUT),
    ] = None,
) -> None:  # fmt: skip
    """One item graded over a run of sizes: pegs, rows, yarn and boards of each, on one loom or the best of all."""
    from dataclasses import replace

    from solver.cli.progress import progress
    from solver.door import sizes as graded
    from solver.door import unit_in

    wish = replace(asked.wish, unit=unit_in(sizes)) if sizes and units is None else asked.wish
    outputs = outputs_of(asked.path, {"html": html}, force=force)
    with progress("looking at each size"):
        report = graded(asked.kit, wish, sizes, same or ())
    if html:
        from solver.page.class_page import class_page

        write(outputs, html, class_page(report, wish).encode())
    if asked.json:
        put_json(report)
    elif asked.csv:
        put(sizes_csv(report))
    else:
        _print(report, wish.unit, more=asked.more)
    if not report.complete:
        raise typer.Exit(3)
    if not any(row.option for row in report.rows):
        raise typer.Exit(1)


def _print(report: "SizesReport", unit: str, *, more: bool) -> None:
    from solver.cli.columns import aligned, wrap
    from solver.cli.table import notes_lines, say, terminal_width
    from solver.page.choice_words import where

    width = terminal_width()
    lines = list(aligned([HEADS, *(_cells(row, unit) for row in report.rows)], RIGHT, width=width))
    say(*filter(None, lines[:1]))
    for row, line in zip(report.rows, lines[1:], strict=True):
        below = where(row.option) if row.option else f"none: {row.says}"
        say(line, *wrap(below, width, initial_indent=" " * 4, subsequent_indent=" " * 6))
    say("", *notes_lines(report.notes, report.cautions, width, more=more))


def _cells(row: "SizeRow", unit: str) -> tuple[str, ...]:
    """The figures of one size; rows are plain + rib. A size without a setup shows what was wanted."""
    from catalog.units import length_text, yarn_text
    from solver.page.choice_words import balls, rows_words, um

    o = row.option
    girth, long = (o.girth_mm, o.pieces[0].lengths[0].mm) if o else (row.girth_mm, row.long_mm)
    size = f"{length_text(um(girth), unit).split()[0]} × {length_text(um(long), unit)}"
    body = length_text(um(row.body_mm), unit) if row.body_mm is not None else ""
    if o is None:
        return (row.size, body, size, "", "", "")
    yarn = yarn_text(um(o.yarn_m * 1000), unit) + (f", {balls(o.balls)}" if o.balls else "")
    return (row.size, body, size, str(o.pegs), rows_words(o), yarn)


def sizes_csv(report: "SizesReport") -> str:
    """One line for each size."""
    from solver.cli.columns import csv_text

    wanted, made = ("size", "body_mm", "girth_wanted_mm", "length_wanted_mm"), ("girth_mm", "length_mm", *FIGURES)
    rows = (
        [r.size, r.body_mm, r.girth_mm, r.length_mm, *(getattr(r.option, name, None) for name in made), r.says]
        for r in report.rows
    )
    return csv_text((*wanted, *made, "says"), rows)

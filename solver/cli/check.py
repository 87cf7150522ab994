"""`pegwright check ITEM`: does each loom allow this size? Without a size, what each loom can make of the item."""

from typing import TYPE_CHECKING

import typer

from solver.cli.data import put, put_json
from solver.cli.options import Asked, asking

if TYPE_CHECKING:
    from solver.report.check import CheckReport, LoomCheck, SpanReport, SpanRow

RIGHT = frozenset({1, 3, 4, 5, 6})  # columns of numbers


@asking
def check_command(asked: Asked) -> None:
    """Does each of my looms allow this size? Yes with its setup, or no with the reason and the nearest girths."""
    from solver.cli.progress import progress
    from solver.door import check
    from solver.report.check import SpanReport

    with progress("looking at each loom"):
        report = check(asked.kit, asked.wish)
    if isinstance(report, SpanReport):
        _span(report, asked)
        return
    if asked.json:
        put_json(report)
    elif asked.csv:
        put(check_csv(report))
    else:
        _print(report, asked)
    if not report.complete:
        raise typer.Exit(3)
    if not any(each.allows for each in report.looms):
        raise typer.Exit(1)


COLUMNS = (  # of CSV, with a size and without; what the other one says is empty
    "loom", "allows", "says", "nearest_below_mm", "nearest_above_mm", "girths", "least_mm", "most_mm", "drawn",
    "pegs", "rows_total", "spacers", "yarn", "strands", "pegs_least", "pegs_most", "girth_least_mm", "girth_most_mm",
    "gauge_basis",
)  # fmt: skip


def _print(report: "CheckReport", asked: Asked) -> None:
    from catalog.item import item
    from solver.cli.columns import wrap
    from solver.cli.table import ask_lines, folded, notes_lines, say, terminal_width
    from solver.door import check_lines

    width = terminal_width()
    for each in report.looms:
        say(*wrap(loom_words(each, asked.wish.unit), width, subsequent_indent="  "))
    if not report.looms:
        say(*notes_lines(report.notes, report.cautions, width, more=asked.more))
        return
    say("", *check_lines(report), "= in reach   . not   | wanted, not in reach   # wanted, in reach", "")
    say(*folded(ask_lines(report.ask, item(asked.wish.item, asked.wish.recipes), asked.wish.unit), width))
    say(*notes_lines(report.notes, report.cautions, width, more=asked.more))


def loom_words(each: "LoomCheck", unit: str) -> str:
    """One loom in a sentence: yes with its setup, or no with the reason."""
    if each.option is None:
        return f"{each.loom}: no, {each.says}."
    from catalog.units import length_text
    from solver.page.choice_words import um, where

    option = each.option
    on = where(option).removeprefix(option.loom).lstrip(":; ")
    size = " × ".join(length_text(um(mm), unit) for mm in (option.girth_mm, option.length_mm))
    return f"{each.loom}: yes, {size} with {option.pegs} pegs, {option.rows_total} rows; {on}."


def check_csv(report: "CheckReport") -> str:
    """One line for each loom."""
    from solver.cli.columns import csv_text

    own = ({"pegs": e.option.pegs, "rows_total": e.option.rows_total} if e.option else {} for e in report.looms)
    rows = ({**dict(e), **made} for e, made in zip(report.looms, own, strict=True))
    return csv_text(COLUMNS, ([row.get(name) for name in COLUMNS] for row in rows))


def _span(report: "SpanReport", asked: Asked) -> None:
    if asked.json:
        put_json(report)
    elif asked.csv:
        put(span_csv(report))
    else:
        _print_span(report, asked.wish.unit)
    if not report.rows:
        raise typer.Exit(1)


def _print_span(report: "SpanReport", unit: str) -> None:
    from itertools import groupby

    from solver.cli.columns import aligned, wrap
    from solver.cli.table import folded, notes_lines, say, terminal_width

    width = terminal_width()
    lines = list(aligned([_heads(unit), *(_cells(row, unit) for row in report.rows)], RIGHT, width=width))
    say(*filter(None, lines[:1]))
    for loom, rows in groupby(zip(report.rows, lines[1:], strict=True), key=lambda each: each[0].loom):
        say(*wrap(loom, width), *(line for _, line in rows))
    say(*folded((f"{loom}: no yarn of the kit can be worked on it." for loom in report.none), width), "")
    say(*notes_lines(report.notes, [], width))


def _heads(unit: str) -> tuple[str, ...]:
    return ("", "spacers", "yarn", "strands", f"girths ({unit})", "pegs", "sizes", "gauge")


def _cells(row: "SpanRow", unit: str) -> tuple[str, ...]:
    from solver.cli.table import number
    from solver.terms import BASIS

    basis = BASIS[row.gauge_basis].removeprefix("from your ")  # or the table is wider than a terminal
    girths = dict.fromkeys(number(mm, unit) for mm in (row.girth_least_mm, row.girth_most_mm))
    pegs = dict.fromkeys((str(row.pegs_least), str(row.pegs_most)))
    spacers, strands, sizes = str(row.spacers or "none"), str(row.strands), str(row.girths)
    return ("", spacers, row.yarn, strands, " to ".join(girths), " to ".join(pegs), sizes, basis)


def span_csv(report: "SpanReport") -> str:
    """One line for each way of working."""
    from solver.cli.columns import csv_text

    return csv_text(COLUMNS, ([dict(row).get(name) for name in COLUMNS] for row in report.rows))

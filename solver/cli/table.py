"""The ranked table of `find`, at 80 columns, with the ask as understood, notes and cautions below it; and its CSV."""

from collections.abc import Iterable, Iterator, Sequence
from shutil import get_terminal_size

import typer

from catalog.caution import care_line
from catalog.item import Item
from catalog.units import length_text
from solver.cli.columns import aligned, csv_text, wrap
from solver.page.choice_words import (
    FIGURES,
    alike,
    alike_words,
    figures,
    fits_words,
    front_words,
    heads,
    proof_words,
    um,
    worked_with,
)
from solver.report.find import AskPlan, FindReport, OptionPlan
from solver.terms import lengths_said


def print_report(report: FindReport, recipe: Item, unit: str, *, more: bool = False) -> None:
    """Print the table, then what was asked, the notes and the cautions."""
    width = terminal_width()
    options, flat = report.options, recipe.flat
    say(*option_lines(options, unit, width, flat=flat, more=more), "")
    meaning = (alike_words(options), front_words(options), fits_words(report, unit, flat=flat)) if options else ()
    say(*folded(filter(None, (*meaning, proof_words(report))), width), "")
    say(*folded(ask_lines(report.ask, recipe, unit), width))
    say(*notes_lines(report.notes, report.cautions, width, more=more))


def terminal_width() -> int:
    """Columns of the terminal, 80 where there is none, never under 20."""
    return max(20, get_terminal_size((80, 24)).columns)


def say(*lines: str, talk: bool = False) -> None:
    """Print lines as they are, to stdout, or to stderr if they are only talk."""
    for line in lines:
        typer.echo(line, err=talk)


def folded(lines: Iterable[str], width: int) -> Iterator[str]:
    """Sentences folded to the width; what an indented one goes on with stands a little further in."""
    for line in lines:
        indent = line[: len(line) - len(line.lstrip())]
        yield from wrap(line, width, subsequent_indent=indent and indent + "   ") or [""]


def notes_lines(notes: Sequence[str], cautions: Sequence[str], width: int, *, more: bool = False) -> Iterator[str]:
    """Notes, each under its mark, and one line of care; with `more` every caution with its source."""
    for note in notes:
        yield from wrap(note, width, initial_indent="note: ", subsequent_indent="  ")
    if cautions and not more:
        yield from wrap(care_line(cautions, "--more says why."), width, subsequent_indent="  ")
    for caution in cautions if more else ():
        yield from wrap(caution, width, initial_indent="CAUTION: ", subsequent_indent="  ")


def option_lines(
    options: Sequence[OptionPlan], unit: str, width: int, *, flat: bool = False, more: bool = False
) -> Iterator[str]:
    """The ranked table: a line of figures for each option, and below it where and with what it is worked."""
    lines = aligned([heads(options, flat=flat), *(figures(o, unit, flat=flat) for o in options)], FIGURES, " ", width)
    shared = alike(options)
    for line, option in zip(lines, (None, *options), strict=True):
        if line or option:  # no heading where each figure bears its own
            yield line
        if option:
            below = worked_with(option, unit, shared, more=more)
            yield from wrap(below, width, initial_indent=" " * 5, subsequent_indent=" " * 7)


def number(mm: float, unit: str) -> str:
    return length_text(um(mm), unit).split()[0]


def ask_lines(ask: AskPlan, recipe: Item, unit: str) -> Iterator[str]:
    """The ask as understood, in a sentence or two."""
    yield (
        f"Asked: {recipe.title}, {length_text(um(ask.girth_mm), unit)} {'wide' if recipe.flat else 'round'} and "
        f"{lengths_said((n.name, length_text(um(n.mm), unit)) for n in ask.lengths)}"
        + (f" ({ask.rib} rib {_span(ask, unit)} deep)" if ask.band_mm else f", {ask.rib} rib" if ask.rib else "")
        + f", {ask.stitch}."
    )
    if ask.sure is not None:
        yield f"At least {100 * ask.sure:g} % likely within {length_text(um(ask.girth_within_mm), unit)} of that girth."
    if ask.body_mm is not None and ask.ease_mm is not None:
        yield f"Body girth {length_text(um(ask.body_mm), unit)}, ease {length_text(um(ask.ease_mm), unit)}."


def _span(ask: AskPlan, unit: str) -> str:
    band = ask.band_mm
    return f"{number(band.least, unit)} to {length_text(um(band.most), unit)}" if band else ""


def options_csv(report: FindReport) -> str:
    """One line for each option: the plain values of the JSON under their own names; changes are joined with "; "."""
    names = [n for n in OptionPlan.model_fields if n not in ("pieces", "sections")]
    told = [{**o.model_dump(include=set(names)), "changes": "; ".join(o.changes)} for o in report.options]
    return csv_text(names, ([option[name] for name in names] for option in told))

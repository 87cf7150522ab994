"""The ranked table of `find`, at 80 columns, with the ask as understood, notes and cautions below it; and its CSV."""

from collections.abc import Iterable, Iterator, Sequence
from shutil import get_terminal_size
from textwrap import wrap

import typer

from catalog.caution import care_line
from catalog.item import Item
from catalog.units import length_text, yarn_text
from solver.cli.columns import aligned, csv_text
from solver.door import spacers
from solver.report.find import AskPlan, FindReport, OptionPlan, PiecePlan
from solver.terms import BASIS, lengths_said

HEADS = (" #", "pegs", "rows", "girth", "off by", "length", "off by", "yarn", "fits")
RIGHT = frozenset({1, 2, 3, 4, 5, 6, 8})  # columns of numbers


def um(mm: float) -> int:
    """Whole µm of the mm of a report."""
    return round(mm * 1000)


def print_report(report: FindReport, recipe: Item, unit: str, *, more: bool = False) -> None:
    """Print the table, then what was asked, the notes and the cautions."""
    width = terminal_width()
    lines = list(option_lines(report.options, unit, width, flat=recipe.flat))
    if any(o.front for o in report.options):
        lines.append("* nothing else is both a likelier fit and thriftier with yarn")
    if report.options:
        size, within = "width" if recipe.flat else "girth", length_text(um(report.ask.girth_within_mm), unit)
        lines.append(f"fits: how likely the {size} comes within {within} of the one asked")
    say(*lines, "")
    say(*folded((*ask_lines(report.ask, recipe, unit), *proof(report)), width))
    say(*notes_lines(report.notes, report.cautions, width, more=more))


def terminal_width() -> int:
    """Columns of the terminal, 80 where there is none, never under 40."""
    return max(40, get_terminal_size((80, 24)).columns)


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


def proof(report: FindReport) -> Iterator[str]:
    """What the list is worth."""
    if report.complete:
        yield "Proven: no setup of this kit scores better than the ones shown."


def option_lines(options: Sequence[OptionPlan], unit: str, width: int, *, flat: bool = False) -> Iterator[str]:
    """The ranked table: a line of figures for each option, and below it where and with what it is worked."""
    bands = any(o.rows_plain and o.rows_band for o in options)
    said = {"rows": "plain + rib" if bands else "rows", "girth": "width" if flat else "girth"}
    heads = [said.get(head, head) for head in HEADS]
    lines = aligned([heads, *(_cells(o, unit) for o in options)], RIGHT, " ")
    for line, option in zip(lines, (None, *options), strict=True):
        yield line
        if option:
            gauge = f"; gauge: {BASIS[option.gauge_basis]}, ±{option.gauge_spread_pct:.1f}%"
            yield from wrap(
                where(option) + parts_long(option.pieces[0], unit) + gauge,
                width,
                initial_indent=" " * 4,
                subsequent_indent=" " * 6,
            )


def parts_long(piece: PiecePlan, unit: str) -> str:
    """What is said of its length beside the whole: "; foot 24.6 cm, leg 16.0 cm"."""
    parts = [f"{n.name} {length_text(um(n.mm), unit)}" for n in piece.lengths[1:]]
    return f"; {', '.join(parts)}" if parts else ""


def _cells(o: OptionPlan, unit: str) -> tuple[str, ...]:
    """The figures of one option; each size with how far it is off what was asked."""
    yarn = yarn_text(round(o.yarn_m * 1_000_000), unit) + (f", {balls(o.balls)}" if o.balls else "")
    return (
        f"{o.rank:>2}{'*' if o.front else ''}",
        str(o.pegs),
        rows_words(o),
        length_text(um(o.girth_mm), unit),
        _signed(o.girth_miss_mm, unit),
        length_text(um(o.pieces[0].lengths[0].mm), unit),
        _signed(o.length_miss_mm, unit),
        yarn,
        f"{100 * o.chance_of_fit:.0f}%",
    )


def rows_words(o: OptionPlan) -> str:
    """Rows in words: plain + rib, "10 + 2×7" with a band at either end."""
    bands = sum(s.rows > 0 and s.kind.startswith("rib") for s in o.sections)
    if not (o.rows_plain and o.rows_band):
        return str(o.rows_total)
    return f"{o.rows_plain} + {f'{bands}×' if bands > 1 else ''}{o.rows_band}"


def where(o: OptionPlan) -> str:
    """Loom, boards, spacers, yarn and strands in words, and the other pieces where there are some."""
    parts = [o.loom + (f": {boards(o)}" if o.build == "boards" else "")]
    parts.append(o.yarn + (f" in {o.strands} strands" if o.strands > 1 else ""))
    parts += [f"{p.name}{_on(o, p)}: {p.pegs} pegs, {p.rows_total} rows" for p in o.pieces[1:]]
    if o.pieces[0].copies > 1:
        parts.append(f"{o.pieces[0].copies} of each")
    return "; ".join(parts)


def _on(o: OptionPlan, piece: PiecePlan) -> str:
    if (piece.loom, piece.spacers) == (o.loom, o.spacers):
        return ""
    return f" on {piece.loom}" + (f", {spacers(piece.spacers)}" if piece.end_board or piece.spacers else "")


def boards(o: OptionPlan) -> str:
    """One side's boards, the end board, the spacers: "long + short a side, 36 pegs; ends end; 2 spacers"."""
    ends = f", ends {o.end_board}" if o.end_board else ""
    return f"{' + '.join(o.side_boards)} a side ({_in_work(o)}){ends}, {spacers(o.spacers)}"


def _in_work(o: OptionPlan) -> str:
    """Pegs in work along a side; a flat piece works all its pegs on one side."""
    flat = o.pegs < 2 * (o.pegs_per_side or 0)
    return f"{o.pegs} of its pegs in work" if flat else f"{o.pegs_per_side} in work"


def balls(count: int | None) -> str:
    """A count of balls in words; nothing where the label is silent."""
    return "" if count is None else "1 ball" if count == 1 else f"{count} balls"


def number(mm: float, unit: str) -> str:
    return length_text(um(mm), unit).split()[0]


def _signed(mm: float, unit: str) -> str:
    text = number(mm, unit)
    return text if text.startswith("-") or float(text) == 0 else "+" + text


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

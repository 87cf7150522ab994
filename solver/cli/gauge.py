"""`pegwright gauge`: the gauge of every setting, the swatches in doubt, and which to knit next for an ask."""

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import InputError, Problem
from solver.cli.data import put, put_json
from solver.cli.options import HOW, OUT, WHAT, Asked, asking

if TYPE_CHECKING:
    from solver.asking.wish import Wish
    from solver.report.gauge import GaugeReport, GaugeRow, NextSwatch, SettingPlan

Text = str | None


@asking
def gauge_command(
    asked: Asked,
    item: Annotated[
        Text, typer.Option("--for", metavar="ITEM", help="Which swatch to knit next for it.", rich_help_panel=WHAT)
    ] = None,
    stitch: Annotated[
        Text, typer.Option(metavar="STITCH", help="u-wrap or e-wrap; else both.", rich_help_panel=HOW)
    ] = None,
    units: Annotated[
        Text, typer.Option(metavar="in|cm", help="Counts per 4 in or per 10 cm; else both.", rich_help_panel=OUT)
    ] = None,
) -> None:
    """How many stitches and rows does each setting give, how sure is that, and which swatch would help most?"""
    from solver.gauging.table import gauge_report

    wish = asked.wish
    report = gauge_report(asked.kit, wish.pins, stitch, measured_only=wish.measured_only)
    if item is None:
        check_alone(wish)
    else:
        from solver.plan.next_swatch import with_next

        report = with_next(report, asked.kit, wish, asked.top, asked.seconds)
    if asked.json:
        put_json(report)
    elif asked.csv:
        put(gauges_csv(report))
    else:
        _print(report, units)
    if item is not None and report.next_swatch is None:
        raise typer.Exit(1)


def _print(report: "GaugeReport", units: Text) -> None:
    from solver.cli.table import folded, notes_lines, say, terminal_width

    width = terminal_width()
    if report.gauges:
        say(*_lines(report.gauges, [p for p in PER if units in (None, p)]), "")
    else:
        say("No setting has a swatch yet: `pegwright swatch add` logs one.", "")
    say(*folded(_legend(report), width))
    say(*folded((f"doubt: {d.says}." for d in report.doubts), width))
    if report.next_swatch:
        say(*folded([_next(report.next_swatch)], width))
    say(*notes_lines(report.notes, (), width))


PER = {"in": ("4 in", 101_600), "cm": ("10 cm", 100_000)}


def _lines(rows: "list[GaugeRow]", units: list[str]) -> Iterator[str]:
    """A heading, then for each loom and yarn a line with its settings below it."""
    from solver.gauging.table import shown

    yield " " * 16 + "".join(f"{'over ' + PER[unit][0]:>14}" for unit in units)
    yield "spacers  stitch " + f"{'st':>7}{'rows':>7}" * len(units) + "    ± %  basis     class"
    for (loom, held), group in groupby(rows, key=lambda r: (r.loom, _held(r))):
        yield f"{loom}, {held}"
        for row in group:
            each = (row.stitch_width_um, row.row_height_um)
            counts = "".join(f"{shown(PER[unit][1], um):>7}" for unit in units for um in each)
            spread = f"{row.stitches_spread_pct:7.1f}"
            yield f"{row.spacers:>7}  {row.stitch:<7}{counts}{spread}  {row.basis:<9} {row.class_text}"


def _held(row: "SettingPlan") -> str:
    return row.yarn if row.strands == 1 else f"{row.strands} strands of {row.yarn}"


def _legend(report: "GaugeReport") -> Iterator[str]:
    """What the columns mean; only for what is there."""
    from solver.gauging.table import shown

    if report.gauges:
        yield (
            "± %: one sd of the stitches of a new piece. class: the yarn class whose plain gauge this is (Standard "
            "Yarn Weight System)."
        )
    gaps = sorted({shown(PER["in"][1], r.stitch_width_um) for r in report.gauges if not r.classes}, key=float)
    if gaps:
        yield f"{', '.join(gaps)} stitches over 4 in fall in no class: the published ranges leave gaps."


def place(at: "SettingPlan") -> str:
    """A setting in words."""
    from solver.plan.changes import spacers

    return f"{at.loom}, {spacers(at.spacers)}, {_held(at)}, {at.stitch}"


def _next(best: "NextSwatch") -> str:
    many = f"the {best.options} best options" if best.options > 1 else "the only option"
    return (
        f"Knit next: {place(best)}. It would bring the spread of the girth of {many} from {best.spread_now_pct:.1f} % "
        f"to {best.spread_after_pct:.1f} %."
    )


def gauges_csv(report: "GaugeReport") -> str:
    """One line for each setting, the plain values of the JSON."""
    from solver.cli.columns import csv_text
    from solver.report.gauge import GaugeRow

    names = [n for n in GaugeRow.model_fields if n != "classes"]
    return csv_text(names, ([getattr(row, name) for name in names] for row in report.gauges))


def check_alone(wish: "Wish") -> None:
    """Raises InputError where an ask is made without the item that it is for."""
    from dataclasses import replace

    from solver.asking.wish import Wish
    from solver.model.ask import Pins

    bare = replace(wish, pins=Pins(), stitch="u-wrap", unit="cm", measured_only=False)
    if bare != Wish(wish.item) or wish.pins.pegs is not None:
        wrong = "found nothing, expected the item that this is asked for"
        raise InputError("--for", Problem("", wrong, '`pegwright gauge --for hat --around "21 in"`'))

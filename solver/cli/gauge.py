"""`pegwright gauge`: the gauge of every setting, the swatches in doubt, and which to knit next for an ask."""

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import bad_word
from solver.cli.data import put, put_json
from solver.cli.options import HOW, OUT, SHARED, WHAT, Asked, asking, one_of

if TYPE_CHECKING:
    from solver.report.gauge import GaugeReport, GaugeRow, SettingPlan

Text = str | None
SETTING = ("loom", "yarn", "spacers", "strands", "stitch", "gauge")


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
    every: Annotated[bool, typer.Option("--all", help="Every setting, not only yours.", rich_help_panel=OUT)] = False,
) -> None:
    """How many stitches and rows does each setting give, how sure is that, and which swatch would help most?"""
    from solver.door import gauge

    one_of("units", units, ("in", "cm"))
    words = {name: value for name, value in asked.words.items() if name in SETTING}
    if item is None:
        check_alone(asked.words)
    report = gauge(asked.kit, asked.made, **words)
    if asked.json:
        put_json(report)
    elif asked.csv:
        put(gauges_csv(report))
    else:
        _print(report, units, asked.made.unit if asked.made else units or "cm", every=every)
    if item is not None and report.next_swatch is None:
        raise typer.Exit(1)


FEW = 12  # settings that are all shown unasked


def _print(report: "GaugeReport", units: Text, unit: str, *, every: bool) -> None:
    from solver.cli.table import folded, notes_lines, say, terminal_width
    from solver.door import next_line

    width, per = terminal_width(), [p for p in PER if units in (None, p)]
    yours = sorted((row for row in report.gauges if row.yours), key=lambda row: row.basis != "measured")
    rest = [row for row in report.gauges if not row.yours]
    shown = rest if every or len(report.gauges) <= FEW or not yours else []
    if report.gauges:
        say(*_lines([*yours, *shown], per, width), "")
    else:
        say("No setting has a swatch yet: `pegwright swatch add` logs one.", "")
    say(*folded(_legend(report, len(rest) - len(shown)), width))
    say(*folded((f"doubt: {d.says}." for d in report.doubts), width))
    if report.next_swatch:
        say(*folded([next_line(report.next_swatch, units or unit)], width))
    say(*notes_lines(report.notes, (), width))


PER = {"in": ("4 in", 101_600), "cm": ("10 cm", 100_000)}


def _lines(rows: "list[GaugeRow]", units: list[str], width: int) -> Iterator[str]:
    """A heading, then for each loom and yarn a line with its settings below it."""
    from solver.cli.columns import wrap
    from solver.door import per_length
    from solver.terms import BASIS

    yield " " * 16 + "".join(f"{'over ' + PER[unit][0]:>14}" for unit in units)
    yield "spacers  stitch " + f"{'st':>7}{'rows':>7}" * len(units) + "    ± %  from"
    for (loom, held), group in groupby(rows, key=lambda r: (r.loom, _held(r))):
        yield from wrap(f"{loom}, {held}", width)
        for row in group:
            each = (row.stitch_width_um, row.row_height_um)
            counts = "".join(f"{per_length(PER[unit][1], um):>7}" for unit in units for um in each)
            basis = BASIS[row.basis].removeprefix("from ")
            yield f"{row.spacers:>7}  {row.stitch:<7}{counts}{row.stitches_spread_pct:7.1f}  {basis}"


def _held(row: "SettingPlan") -> str:
    return row.yarn if row.strands == 1 else f"{row.strands} strands of {row.yarn}"


def _legend(report: "GaugeReport", left: int) -> Iterator[str]:
    """What is not shown, and what the column of spreads means."""
    if left:
        yield f"{left} more settings of your looms and yarns: --all."
    if report.gauges:
        yield "± %: how far the stitches of a new piece may be off; two pieces in three are nearer (one sd)."


def gauges_csv(report: "GaugeReport") -> str:
    """One line for each setting, the plain values of the JSON."""
    from solver.cli.columns import csv_text
    from solver.report.gauge import GaugeRow

    names = [n for n in GaugeRow.model_fields if n != "classes"]
    return csv_text(names, ([getattr(row, name) for name in names] for row in report.gauges))


def check_alone(words: Mapping[str, object]) -> None:
    """Raises InputError where an ask is made without the item that it is for."""
    if {name for name, value in words.items() if value != SHARED[name][1]} - {*SETTING, "units", "top", "seconds"}:
        raise bad_word("for", None, "the item that this is asked for", '`pegwright gauge --for hat --around "21 in"`')

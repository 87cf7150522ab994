"""`pegwright batch FILE.csv`: many asks, one kit: who gets which setup, in which order, with the yarn shared out."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import printable, shown
from solver.cli.data import put, put_json
from solver.cli.filename import file_name
from solver.cli.options import OUT, SHARED
from solver.cli.sheet import Force, outputs_of

if TYPE_CHECKING:
    from catalog.outputs import Outputs
    from solver.door.batches import Rows

WAYS = "What may be used"
KIT, UNITS, SECONDS, MORE, JSON, CSV = (SHARED[name][0] for name in ("kit", "units", "seconds", "more", "json", "csv"))


def batch_command(
    asks: Annotated[
        Path, typer.Argument(metavar="ASKS.csv", help="Columns: name, item, copies, priority, any option word of find.")
    ],
    kit: KIT = None,  # type: ignore[valid-type]
    turns: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, max=1000, help="Each loom is worked at most N times.", rich_help_panel=WAYS),
    ] = None,
    buy: Annotated[
        bool, typer.Option("--buy", help="More yarn may be bought, as little as will do.", rich_help_panel=WAYS)
    ] = False,
    sheets: Annotated[
        Path | None,
        typer.Option(
            metavar="DIR",
            help="Write a page for each piece and one for all.",
            rich_help_panel=OUT,
            parser=file_name("sheets"),
        ),
    ] = None,
    words: Annotated[
        str, typer.Option(metavar="us|uk", help="Words of --sheets: bind off or cast off.", rich_help_panel=OUT)
    ] = "us",
    force: Force = False,
    units: UNITS = None,  # type: ignore[valid-type]
    seconds: SECONDS = None,  # type: ignore[valid-type]
    more: MORE = False,  # type: ignore[valid-type]
    json: JSON = False,  # type: ignore[valid-type]
    csv: CSV = False,  # type: ignore[valid-type]
) -> None:
    """Many asks, one kit: who gets which setup so that most are likely to fit, and the order of work on each loom."""
    from catalog.kitplace import find_kit, recipes_beside
    from catalog.wholefile import telling
    from solver.cli.options import NOT_YOURS, one_of
    from solver.cli.progress import progress
    from solver.cli.since import begun
    from solver.door import pages, planned, read_asks, within
    from solver.terms import known_reader

    known_reader(words)
    unit = one_of("units", units, ("in", "cm"))
    held, _, path = find_kit(kit)
    if path is None:
        typer.echo(NOT_YOURS, err=True)
    with within(seconds, since=begun()):
        asked = read_asks(held, asks, recipes_beside(path))
    outputs = _claimed(sheets, asked, path, asks, force=force) if sheets else None
    with progress("planning", len(asked.wanted) + 2) as tell:
        got = planned(held, asked, turns=turns, buy=buy, seconds=seconds, since=begun(), tell=tell)
    if outputs and sheets:
        with telling(str(sheets)):
            sheets.mkdir(exist_ok=True)
        for name, page in pages(held, got, words, unit):
            outputs.write(sheets / name, page.encode())
        typer.echo(f"{printable(str(sheets))}: index.html and {len(got.placed)} pages written", err=True)
    if json:
        put_json(got.report)
    elif csv:
        from solver.cli.batchtable import batch_csv

        put(batch_csv(got.report))
    else:
        from solver.cli.batchtable import print_batch

        print_batch(got.report, unit or asked.wanted[0].wish.unit, more=more)
    if not got.report.served:
        raise typer.Exit(3 if got.report.out_of_time else 1)


def _claimed(sheets: Path, asked: "Rows", kit: Path | None, asks: Path, *, force: bool) -> "Outputs":
    """Every file that may be written in the folder, which is made once there is something to write there."""
    from catalog.errors import InputError, Problem
    from solver.door import page_names

    new = not os.path.lexists(sheets) and sheets.parent.is_dir()
    if not new and not sheets.is_dir():
        wrong = f"found {shown(str(sheets))}, expected a folder, or a new name in one"
        raise InputError("--sheets", Problem("", wrong))
    outputs = outputs_of(kit, {}, plan=asks, force=force)
    for name in page_names(asked):
        outputs.claim("sheets", sheets / name, in_new=new)
    return outputs

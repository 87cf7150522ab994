"""`pegwright batch FILE.csv`: many asks, one kit: who gets which setup, in which order, with the yarn shared out."""

from pathlib import Path
from typing import Annotated

import typer

from solver.cli.data import put, put_json
from solver.cli.options import SHARED

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
    units: UNITS = None,  # type: ignore[valid-type]
    seconds: SECONDS = None,  # type: ignore[valid-type]
    more: MORE = False,  # type: ignore[valid-type]
    json: JSON = False,  # type: ignore[valid-type]
    csv: CSV = False,  # type: ignore[valid-type]
) -> None:
    """Many asks, one kit: who gets which setup so that most are likely to fit, and the order of work on each loom."""
    from catalog.kitplace import find_kit
    from solver.cli.options import NOT_YOURS, one_of
    from solver.cli.progress import progress
    from solver.cli.since import begun
    from solver.door import planned, read_asks

    unit = one_of("units", units, ("in", "cm"))
    held, _, path = find_kit(kit)
    if path is None:
        typer.echo(NOT_YOURS, err=True)
    own = path.parent / "recipes" if path else None
    recipes = own if own and own.is_dir() else None
    asked = read_asks(held, asks, recipes)
    with progress("planning", len(asked.wanted) + 2) as tell:
        got = planned(held, asked, turns=turns, buy=buy, seconds=seconds, since=begun(), tell=tell)
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

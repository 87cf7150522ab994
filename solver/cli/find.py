"""`pegwright find ITEM`: the ranked, proven setups; where there is none, why not."""

from typing import Annotated

import typer

from solver.cli.options import OUT, Asked, asking


@asking
def find_command(
    asked: Asked,
    all_pegs: Annotated[
        bool, typer.Option("--all-pegs", help="Every peg count an option of its own.", rich_help_panel=OUT)
    ] = False,
) -> None:
    """Which setups make this? A ranked table; where none does, why not and the least repairs."""
    from solver.answer import answer

    got = answer(asked.kit, asked.wish, asked.top, all_pegs=all_pegs, seconds=asked.seconds)
    if not got.report.options and got.report.complete:
        raise typer.Exit(1)
    if asked.json:
        typer.echo(got.report.model_dump_json(indent=2))
    elif asked.csv:
        from solver.cli.table import csv_text

        typer.echo(csv_text(got.report), nl=False)
    else:
        from solver.cli.table import print_report

        print_report(got.report, asked.wish.unit)
    if not got.report.complete:
        raise typer.Exit(3)

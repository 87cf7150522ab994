"""`pegwright find ITEM`: the ranked, proven setups; where there is none, why not."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import as_typed, printable
from solver.cli.data import put, put_json
from solver.cli.filename import file_name
from solver.cli.options import OUT, Asked, asking
from solver.cli.sheet import Force, not_written, outputs_of, write

if TYPE_CHECKING:
    from catalog.outputs import Outputs
    from solver.plan.answer import Answer
    from solver.report.clash import ClashReport


@asking
def find_command(
    asked: Asked,
    all_pegs: Annotated[
        bool, typer.Option("--all-pegs", help="Every peg count an option of its own.", rich_help_panel=OUT)
    ] = False,
    save: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Keep an option as a plan, for `sheet` and `adjust`.",
            rich_help_panel=OUT,
            parser=file_name("save"),
        ),
    ] = None,
    option: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Which option --save keeps; else the first.", rich_help_panel=OUT),
    ] = None,
    page: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write table, plot and sheets as one HTML file.",
            rich_help_panel=OUT,
            parser=file_name("page"),
        ),
    ] = None,
    plot: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Draw likely miss against yarn, as .svg or .png.",
            rich_help_panel=OUT,
            parser=file_name("plot"),
        ),
    ] = None,
    words: Annotated[
        str, typer.Option(metavar="us|uk", help="Words of --page: bind off or cast off.", rich_help_panel=OUT)
    ] = "us",
    force: Force = False,
) -> None:
    """Which setups make this? A ranked table; where none does, why not and the least repairs."""
    from dataclasses import replace
    from functools import partial

    from catalog.errors import bad_word
    from solver.cli.pictures import drawn
    from solver.cli.progress import progress
    from solver.cli.table import options_csv
    from solver.door import answer
    from solver.formats.plots import plot_kind
    from solver.terms import known_reader

    known_reader(words)
    if plot is not None:
        plot_kind(plot)
    if option is not None and save is None:
        raise bad_word("option", option, "--save FILE beside it")
    outputs = outputs_of(asked.path, {"save": save, "page": page, "plot": plot}, force=force)
    with progress("looking for setups"):
        got = answer(asked.kit, replace(asked.wish, all_pegs=all_pegs))
    if not got.report.options and got.report.complete:
        from solver.cli.clash import say_why_not

        if asked.csv:
            put(options_csv(got.report))
        not_written("nothing fits", save, plot)
        say_why_not(asked, got, partial(_page_why_not, got, asked, page, words, outputs) if page else None)
    if got.report.options:
        files = drawn(got, asked, page, plot, words)
        if save is not None:
            _save(got, asked, save, option or 1, outputs)
        for path, data in files.items():
            write(outputs, path, data)
    else:
        not_written("nothing is found yet", save, plot, page)
    if asked.json:
        put_json(got.report)
    elif asked.csv:
        put(options_csv(got.report))
    else:
        from catalog.item import item
        from solver.cli.table import print_report

        print_report(got.report, item(asked.wish.item, asked.wish.recipes), asked.wish.unit, more=asked.more)
    if not got.report.complete:
        raise typer.Exit(3)


def _page_why_not(
    got: "Answer", asked: Asked, page: Path, words: str, outputs: "Outputs", report: "ClashReport"
) -> None:
    from solver.cli.pictures import draw_why_not

    draw_why_not(got, report, asked, page, words, outputs)


def _save(got: "Answer", asked: Asked, path: Path, rank: int, outputs: "Outputs") -> None:
    """Keep one option as a plan."""
    from solver.door import plan_of, save_plan

    save_plan(plan_of(got, asked.wish, None if asked.path is None else str(asked.path), rank), path, outputs)
    kept = f"{printable(str(path))}: option {rank} kept"
    typer.echo(f"{kept}; half-way, `pegwright adjust {as_typed(path)}` takes a second look", err=True)

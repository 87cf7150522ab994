"""Every command under its name."""

from typing import Annotated

import typer

from solver.cli.adjust import adjust_command
from solver.cli.batch import batch_command
from solver.cli.check import check_command
from solver.cli.find import find_command
from solver.cli.gauge import gauge_command
from solver.cli.kit import kit_app
from solver.cli.open import open_command
from solver.cli.sheet import sheet_command
from solver.cli.show import show_app
from solver.cli.sizes import sizes_command
from solver.cli.swatch import swatch_app

app = typer.Typer(
    name="pegwright",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)
app.command("find")(find_command)
app.command("check")(check_command)
app.command("sizes")(sizes_command)
app.command("gauge")(gauge_command)
app.command("sheet")(sheet_command)
app.command("adjust")(adjust_command)
app.command("batch")(batch_command)
app.command("open")(open_command)
app.add_typer(swatch_app, name="swatch")
app.add_typer(kit_app, name="kit")
app.add_typer(show_app, name="show")


def _version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        typer.echo(f"pegwright {version('pegwright')}")
        raise typer.Exit


@app.callback()
def about(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version and leave.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    """Find peg-loom setups for something knitted in the round: boards, pegs, spacers, yarn and rows, proven."""

"""The command line: one thin file per command, no arithmetic.

Exit codes: 0 found, 1 no setup holds all rules, 2 bad input, 3 undecided in the time given.
"""

import gc
import os
import sys
from typing import Annotated

import typer

from solver.cli.adjust import adjust_command
from solver.cli.check import check_command
from solver.cli.find import find_command
from solver.cli.gauge import gauge_command
from solver.cli.kit import kit_app
from solver.cli.sheet import sheet_command
from solver.cli.show import show_app
from solver.cli.sizes import sizes_command
from solver.cli.swatch import swatch_app

app = typer.Typer(
    name="pegwright",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.command("find")(find_command)
app.command("check")(check_command)
app.command("sizes")(sizes_command)
app.command("gauge")(gauge_command)
app.command("sheet")(sheet_command)
app.command("adjust")(adjust_command)
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


def main() -> None:
    """Run the command line; bad input ends with 2 and a message, never with a traceback."""
    gc.disable()  # a short life of many imports: collecting nothing saves 5 % of a find
    from catalog.errors import InputError

    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        app(prog_name="pegwright")
    except InputError as error:
        typer.echo(f"pegwright: {error}", err=True)
        sys.exit(2)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception as error:  # a fault of ours: say so, and keep the user's terminal clean
        typer.echo(f"pegwright: this is our fault, not yours: {type(error).__name__}: {error}", err=True)
        typer.echo(
            "  hint: please report it with the command and the kit; set PEGWRIGHT_DEBUG=1 for the traceback", err=True
        )
        if os.environ.get("PEGWRIGHT_DEBUG"):
            raise
        sys.exit(3)

"""Every command under its name."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from catalog.errors import steady
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


@contextmanager
def _spelt_out() -> Iterator[None]:
    """A word that typer refuses is printed back: what is not printable in it is spelt out first."""
    try:
        yield
    except Exception as error:
        if isinstance(message := getattr(error, "message", None), str):
            error.message = steady(message)  # type: ignore[attr-defined]
        raise


class Commands(TyperGroup):
    """The commands, whose refusals steer no terminal."""

    def make_context(self, *told: Any, **more: Any) -> Any:
        """Read the words before the command."""
        with _spelt_out():
            return super().make_context(*told, **more)

    def invoke(self, ctx: Any) -> Any:
        """Read the words of the command, and run it."""
        with _spelt_out():
            return super().invoke(ctx)


app = typer.Typer(
    cls=Commands,
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

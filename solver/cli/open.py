"""`pegwright open`: the whole of it in the browser on this machine."""

from pathlib import Path
from typing import Annotated

import typer

from solver.cli.filename import file_name


def open_command(
    kit: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="The kit; else kit.toml here, or one of the Cupboard's own.", parser=file_name("kit")
        ),
    ] = None,
    port: Annotated[
        int | None, typer.Option(metavar="N", min=1, max=65535, help="The port; else our own, or the next free one.")
    ] = None,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Only print the address.")] = False,
    phone: Annotated[
        bool, typer.Option("--phone", help="A second address for a phone in this network: sheet and ticks.")
    ] = False,
) -> None:
    """Open it in the browser, for people who never type a command: Cupboard, Make, On the loom. Ctrl-C ends it."""
    from solver.web.serve import serve

    def say(words: str) -> None:
        typer.echo(words)

    def talk(words: str) -> None:
        typer.echo(words, err=True)

    serve(kit, port, say, talk, browser=not no_browser, phone=phone)

"""Data on stdout, for other programs: UTF-8, whatever the code page of the terminal."""

import sys
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from pydantic import BaseModel


def put_json(report: "BaseModel") -> None:
    """One JSON document."""
    put(report.model_dump_json(indent=2, by_alias=True) + "\n")


def put(text: str) -> None:
    """The text as it is; where stdout is a stream of bytes, in UTF-8."""
    binary = getattr(sys.stdout, "buffer", None)
    if binary is None:
        typer.echo(text, nl=False)
        return
    sys.stdout.flush()
    binary.write(text.encode("utf-8", "replace"))
    binary.flush()

"""`pegwright kit add` and `kit remove`: a loom, a yarn or a wearer more or less; and a swatch less."""

import inspect
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from catalog.entrytext import PARTS, Part, Table
from catalog.errors import InputError, printable, shown
from solver.cli.filename import KitFile
from solver.cli.spelling import as_option

if TYPE_CHECKING:
    from catalog.kit import Kit

add_app = typer.Typer(no_args_is_help=True, help="Add a loom, a yarn or a wearer: by options, or by questions.")
remove_app = typer.Typer(no_args_is_help=True, help="Remove a loom, a yarn, a wearer or a swatch.")
AsTyped = Annotated[bool, typer.Option("--as-typed", help="Keep a measure that looks like a slip.")]
WithSwatches = Annotated[bool, typer.Option("--with-swatches", help="The swatches that name it go too.")]
Name = Annotated[str | None, typer.Argument(metavar="NAME", show_default=False)]


def _option(part: Part) -> inspect.Parameter:
    """The option of one part: a flag for yes or no, boards as often as there are kinds of them, else a text."""
    said = f'{part.words}, such as "{part.example}".' if part.kind != "yes" else f"{part.words}."
    kind: Any = bool if part.kind == "yes" else list[str] | None if part.kind == "board" else str | None
    extra = {} if part.kind == "yes" else {"metavar": "TEXT" if part.kind in ("board", "spacers") else "VALUE"}
    annotation = Annotated[kind, typer.Option(as_option(part.field), help=said, **extra)]
    default = False if part.kind == "yes" else None
    return inspect.Parameter(part.key, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=annotation)


def _adding(table: Table) -> Callable[..., None]:
    def command(kit: Path | None = None, as_typed: bool = False, **given: Any) -> None:
        from catalog.entrytext import entry_of
        from catalog.kitfile import add
        from catalog.kitplace import own_kit
        from solver.cli.kitask import by_options, complete, read

        path = own_kit(kit)
        entry = entry_of(table, complete(path, table, read(table, given), as_typed=as_typed))
        try:
            add(path, table, entry)
        except InputError as error:
            raise by_options(table, error) from None
        typer.echo(f"{printable(str(path))}: {table} {shown(entry['name'])} added", err=True)

    kit = inspect.Parameter("kit", inspect.Parameter.KEYWORD_ONLY, default=None, annotation=KitFile)
    typed = inspect.Parameter("as_typed", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=AsTyped)
    command.__signature__ = inspect.Signature([kit, typed, *map(_option, PARTS[table])])  # type: ignore[attr-defined]
    command.__doc__ = f"Add a {table} to the kit file; on a terminal, asks for what is not given."
    return command


def _removing(table: Table) -> Callable[..., None]:
    def command(name: Name = None, kit: KitFile = None, with_swatches: WithSwatches = False) -> None:
        from catalog.kit import load_kit
        from catalog.kitfile import remove
        from catalog.kitplace import own_kit
        from solver.cli.kitask import named

        path = own_kit(kit)
        before = load_kit(path)
        which = named(table, name, [each.name for each in getattr(before, table)])
        together = with_swatches or _with_its_swatches(before, table, which)
        gone = len(before.swatch) - len(remove(path, table, which, with_swatches=together).kit.swatch)
        also = f", and {gone} swatch{'es' if gone > 1 else ''} of it" if gone else ""
        typer.echo(f"{printable(str(path))}: {table} {shown(which)} removed{also}", err=True)

    command.__doc__ = f"Cut a {table}'s own lines, and the comment directly above, from the kit file."
    return command


def _with_its_swatches(kit: "Kit", table: Table, which: str) -> bool:
    """Whether somebody at the terminal says that the swatches that name it shall go too; off it nobody does."""
    from catalog.known import known_as
    from solver.cli import terminal

    name = known_as(which, [each.name for each in getattr(kit, table)])
    named = [i for i, s in enumerate(kit.swatch, 1) if table != "wearer" and name and getattr(s, table) == name]
    if not named or not terminal.there():
        return False
    many = f"{len(named)} swatches name it" if len(named) > 1 else "a swatch names it"
    return terminal.sure(f"kit remove {table}", f"{many} ({', '.join(map(str, named))}): remove with it?")


for _table in PARTS:
    add_app.command(_table)(_adding(_table))
    remove_app.command(_table)(_removing(_table))


@remove_app.command("swatch")
def remove_swatch(
    number: Annotated[int, typer.Argument(metavar="N", help="Its number, as `swatch list` and doubts have it.")],
    kit: KitFile = None,
) -> None:
    """Cut a swatch's own lines, and the comment directly above, from the kit file."""
    from catalog.kitfile import remove
    from catalog.kitplace import own_kit

    path = own_kit(kit)
    remove(path, "swatch", number)
    typer.echo(f"{printable(str(path))}: swatch {number} removed", err=True)

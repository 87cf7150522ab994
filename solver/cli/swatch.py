"""`pegwright swatch add` and `swatch list`: log a counted sample, see them all."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from catalog.errors import printable
from solver.cli.data import put_json
from solver.cli.filename import KitFile

if TYPE_CHECKING:
    from catalog.kit import Kit

swatch_app = typer.Typer(no_args_is_help=True, help="Log a counted (and weighed) sample; list them.")
Text = str | None


@swatch_app.command("add")
def add(
    kit: KitFile = None,
    loom: Annotated[Text, typer.Option(metavar="NAME", help="The loom it was knitted on.")] = None,
    yarn: Annotated[Text, typer.Option(metavar="NAME", help="The yarn.")] = None,
    spacers: Annotated[int | None, typer.Option(metavar="N", help="Spacers at every bolt.")] = None,
    strands: Annotated[int | None, typer.Option(metavar="N", help="Strands held together; 1 where not given.")] = None,
    stitch: Annotated[Text, typer.Option(metavar="S", help="u-wrap or e-wrap; u-wrap where not given.")] = None,
    stitches: Annotated[Text, typer.Option(metavar="COUNT", help='Stitches counted: "17 over 4in".')] = None,
    rows: Annotated[Text, typer.Option(metavar="COUNT", help='Rows counted: "21 over 4in".')] = None,
    mass: Annotated[Text, typer.Option(metavar="MASS", help='Weighed, without cast-on and tails: "9 g".')] = None,
    yarn_length: Annotated[Text, typer.Option(metavar="LEN", help='Unravelled: "8 m".')] = None,
    knitted: Annotated[Text, typer.Option(metavar="SxR", help="Stitches by rows of what was weighed: 30x40.")] = None,
    checked: Annotated[bool, typer.Option("--checked", help="Counted twice: keep it though others doubt it.")] = False,
) -> None:
    """Add one counted sample to the kit file; on a terminal, asks for what is not given.

    What lies more than 3 standard deviations from what the other swatches foretell is refused, unless --checked.
    """
    from catalog.kit import load_kit
    from catalog.kitfile import add_swatch
    from catalog.kitplace import own_kit
    from catalog.swatchtext import entry_of

    path = own_kit(kit)
    typed: dict[str, object] = {
        "loom": loom, "spacers": spacers, "yarn": yarn, "strands": strands, "stitch": stitch, "stitches": stitches,
        "rows": rows, "mass": mass, "yarn_length": yarn_length, "knitted": knitted,
    }  # fmt: skip
    known = load_kit(path)
    entry = entry_of(_complete(typed, known))
    others = _believed(known, entry, checked=checked)
    _added(path, add_swatch(path, entry).kit, others)


@swatch_app.command("list")
def list_(
    kit: KitFile = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON document instead of a table.")] = False,
) -> None:
    """List the swatches of the kit: stitches and rows per 4 in (10.16 cm) and per 10 cm."""
    from catalog.kitplace import find_kit
    from catalog.kitview import listed

    found, source, path = find_kit(kit)
    if path is None:
        typer.echo("no kit.toml here: this is the built-in kit", err=True)
    swatches = listed(found)
    if as_json:
        from solver.report.swatches import SwatchesReport

        put_json(SwatchesReport(swatches=swatches))  # type: ignore[arg-type]
    elif swatches:
        _table(source, swatches)
    else:
        typer.echo(f"{source}: no swatches yet; `pegwright swatch add` logs one", err=True)


def _complete(typed: dict[str, object], kit: "Kit") -> dict[str, object]:
    """What was typed, and what has to be asked for. Raises InputError where nobody sits at the terminal."""
    from solver.cli import terminal
    from solver.cli.swatchask import asked, missing, not_given

    still = missing(typed, kit)
    if still and not terminal.there():
        raise not_given(still)
    return asked(typed, kit) if still else typed


def _believed(kit: "Kit", entry: dict[str, object], *, checked: bool) -> list[str]:
    """Which other swatches the new one casts doubt on. One that is doubted itself becomes checked, or InputError."""
    from solver.cli.swatchask import right_as_it_is
    from solver.door import judged

    found = judged(kit, entry)
    if checked or (found.itself and right_as_it_is(found.itself)):
        entry["checked"] = True
        return judged(kit, entry).others
    return found.others


def _added(path: Path, kit: "Kit", others: list[str]) -> None:
    """Say what was logged, and which other swatch it contradicts."""
    from solver.door import setting_words

    typer.echo(
        f"{printable(str(path))}: swatch {len(kit.swatch)} added ({setting_words(kit.swatch[-1])})",
        err=True,
    )
    for words in others:
        typer.echo(f"doubt: {words}", err=True)


def _table(source: str, swatches: list[dict[str, Any]]) -> None:
    from solver.cli.grid import grid, show

    columns = (
        "loom",
        "#spacers",
        "yarn",
        "stitch",
        "#st\n4 in",
        "#rows\n4 in",
        "#st\n10 cm",
        "#rows\n10 cm",
        "#weighed",
    )
    gauge = ("stitches_per_4in", "rows_per_4in", "stitches_per_10cm", "rows_per_10cm")
    show(grid(f"Swatches of {source}", columns, [_row(each, gauge) for each in swatches]))


def _row(each: dict[str, Any], gauge: tuple[str, ...]) -> list[object]:
    held = each["yarn"] if each["strands"] == 1 else f"{each['strands']} × {each['yarn']}"
    weighed = [f"{each[key]:g} {unit}" for key, unit in (("mass_g", "g"), ("yarn_length_m", "m")) if each[key]]
    return [each["loom"], each["spacers"], held, each["stitch"], *(each[k] for k in gauge), ", ".join(weighed)]

"""`pegwright kit`: start, see and validate a kit; what changes one stands in kitchange.py."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import printable
from solver.cli.filename import KitFile, file_name
from solver.cli.kitchange import add_app, remove_app

if TYPE_CHECKING:
    from catalog.kit import Kit, Loom, Wearer, Yarn

kit_app = typer.Typer(no_args_is_help=True, help="Start, see, check and change the kit: looms, yarns, wearers.")
kit_app.add_typer(add_app, name="add")
kit_app.add_typer(remove_app, name="remove")


@kit_app.command("new")
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", show_default=False, parser=file_name("file"))] = Path(
        "kit.toml"
    ),
) -> None:
    """Write a kit to start from, FILE or kit.toml, with comments; never over a file that is there."""
    from catalog.kitfile import new_kit

    new_kit(file)
    typer.echo(f"{printable(str(file))}: a kit to start from; put your own looms and yarns in its place", err=True)


@kit_app.command("check")
def check(kit: KitFile = None) -> None:
    """Read the whole kit, say what it holds and what looks like a slip; exit code 2 where it cannot be read."""
    from catalog.kitview import inventory, warnings
    from solver.door import doubts_of

    found, source = _found(kit)
    doubted, slips = doubts_of(found), warnings(found)
    counts = [(len(doubted), "doubt"), (len(slips), "warning")]
    told = [f"{n} {word}{'s' if n > 1 else ''}" for n, word in counts if n]
    typer.echo(f"{source}: {inventory(found)}: {'no errors, ' + ', '.join(told) if told else 'no problems'}")
    for mark, lines in (("doubt", doubted), ("warning", slips)):
        for words in lines:
            typer.echo(f"{mark}: {words}")


@kit_app.command("show")
def show_(
    kit: KitFile = None,
    units: Annotated[str, typer.Option(metavar="in|cm", help="The unit of girths and pitches.")] = "cm",
) -> None:
    """Show the looms, yarns, swatches and wearers of the kit as tables."""
    from catalog.errors import bad_word
    from catalog.kitview import listed
    from solver.cli.grid import grid, show

    if units not in ("in", "cm"):
        raise bad_word("units", units, '"in" or "cm"')
    found, source = _found(kit)
    keys = ("loom", "spacers", "yarn", "strands", "stitch", f"stitches_per_{_per(units)}", f"rows_per_{_per(units)}")
    heads = ("loom", "#spacers", "yarn", "#strands", "stitch", f"#st/{_per(units)}", f"#rows/{_per(units)}")
    typer.echo(f"Kit: {source}\n")
    tables = [
        grid("Looms", ("name", "build", "#pitch", "pegs", "spacers"), [_loom(e, units) for e in found.loom]),
        grid("Yarns", ("name", "class", "fibre", "ball", "#balls"), [_yarn(e, units) for e in found.yarn]),
        grid("Swatches", heads, [[each[key] for key in keys] for each in listed(found)]),
        grid("Wearers", ("name", "measured", "fit", "age"), [_wearer(e, units) for e in found.wearer]),
    ]
    show(*(table for table in tables if table.row_count))


def _found(kit: Path | None) -> "tuple[Kit, str]":
    from catalog.kitplace import find_kit

    found, source, path = find_kit(kit)
    if path is None:
        typer.echo("no kit.toml here: this is the built-in kit", err=True)
    return found, source


def _per(units: str) -> str:
    return "4in" if units == "in" else "10cm"


def _length(um: int, units: str) -> str:
    from catalog.units import length_text

    return length_text(um, units, places=1)


def _loom(loom: "Loom", units: str) -> list[object]:
    from catalog.units import length_text

    spacers = getattr(loom, "spacers", None)
    stock = f"0 to {spacers.most}, {spacers.on_hand} on hand" if spacers else "-"
    return [
        loom.name,
        loom.build,
        f"{loom.pitch_um / 1000:g} mm" if units == "cm" else length_text(loom.pitch_um, units, places=2),
        "; ".join(_pegs(loom)),
        stock,
    ]


def _pegs(loom: "Loom") -> Iterator[str]:
    """The pegs of a loom in words: a ring's, a slider's span, the boards of a frame."""
    if loom.build == "ring":
        yield f"{loom.pegs}"
    elif loom.build == "slider":
        yield f"{loom.pegs_least} to {loom.pegs_most}, by twos"
    else:
        for what, boards in (("sides", loom.side_boards), ("ends", loom.end_boards)):
            if boards:
                yield f"{what} " + ", ".join(f"{b.name} {b.pegs(loom.pitch_um)} ×{b.on_hand}" for b in boards)


def _yarn(yarn: "Yarn", units: str) -> list[object]:
    from catalog.units import yarn_text
    from catalog.yarn import table

    length = yarn.length_per_ball_um
    ball = "" if length is None else yarn_text(length, units)
    mass = "" if yarn.mass_per_ball_mg is None else f"{yarn.mass_per_ball_mg / 1000:g} g"
    balls = "any" if yarn.balls is None else f"{float(yarn.balls):g}"
    weight = f"{yarn.weight} {table().classes[str(yarn.weight)].name}"
    return [yarn.name, weight, yarn.fibre, ", ".join(part for part in (ball, mass) if part), balls]


def _wearer(wearer: "Wearer", units: str) -> list[object]:
    places = ("head", "hand", "hand_length", "foot", "foot_length", "neck", "heel")
    known = [(place.replace("_", " "), getattr(wearer, f"{place}_um")) for place in places]
    return [
        wearer.name,
        ", ".join(f"{place} {_length(um, units)}" for place, um in known if um is not None),
        wearer.fit,
        wearer.age,
    ]

"""`pegwright adjust PLAN.json`: half-way, and the gauge came out different: what now?"""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import printable
from solver.cli.data import put_json
from solver.cli.filename import file_name

if TYPE_CHECKING:
    from catalog.errors import InputError
    from catalog.kit import Kit
    from solver.plan.saved import SavedPlan
    from solver.report.adjust import AdjustReport


def adjust_command(
    plan: Annotated[Path, typer.Argument(metavar="PLAN.json", help="A plan that `find --save` wrote.")],
    rows_done: Annotated[
        int, typer.Option("--rows-done", metavar="N", help="Rows worked, the loops cast on not counted.")
    ],
    stitches: Annotated[
        list[str],
        typer.Option(metavar="COUNT", help='Counted on the piece, plain part: "17 over 4in"; again for more.'),
    ],
    rows: Annotated[
        list[str], typer.Option(metavar="COUNT", help='Counted on the piece: "21 over 4in"; again for more.')
    ],
    keep: Annotated[bool, typer.Option("--keep", help="Write the count into the kit as a swatch.")] = False,
    checked: Annotated[
        bool, typer.Option("--checked", help="Counted twice: keep it though swatches doubt it.")
    ] = False,
    kit: Annotated[
        Path | None, typer.Option(metavar="FILE", help="The kit; else the one of the plan.", parser=file_name("kit"))
    ] = None,
    units: Annotated[
        str | None, typer.Option(metavar="in|cm", help="Print lengths in in or cm; else as saved.")
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(metavar="S", min=0, help="Stop after so long, with the verdict if there is one.")
    ] = None,
    more: Annotated[bool, typer.Option("--more", help="Say all that there is to say.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """What will a piece half-way really measure, what is left to do, or is it better to start again? (exit code 1)"""
    from catalog.item import item
    from solver.cli.options import one_of
    from solver.cli.since import begun
    from solver.door import adjust, kept_as, load_plan, within

    with within(seconds, since=begun()):
        saved = load_plan(plan)
        unit = one_of("units", units, ("in", "cm")) or saved.unit
        found, path = _kit(kit, saved, plan)
        if keep and path is None:
            raise _nobodys()
        report = adjust(found, saved, rows_done=rows_done, stitches=stitches, rows=rows)
    if as_json:
        put_json(report)
    else:
        _print(report, item(saved.item, saved.wish.recipes).title, unit)
        _care(saved.cautions, more=more)
    if keep and path is not None:
        _keep(path, found, kept_as(found, saved, stitches, rows), checked=checked)
    if report.start_again:
        raise typer.Exit(1)


def _kit(option: Path | None, saved: "SavedPlan", plan: Path) -> "tuple[Kit, Path | None]":
    """The kit that was asked for, else the plan's: where it was, or beside the plan. None: the built-in one."""
    from catalog.errors import InputError, Problem
    from catalog.kit import built_in_kit, load_kit
    from catalog.kitplace import in_folder
    from solver.door import kit_places

    if option is None and saved.kit is None:
        return built_in_kit(), None
    places = [in_folder(option)] if option else kit_places(saved, plan)
    path = next((p for p in places if os.path.exists(p)), None)  # p.exists() raises where a name is too long
    if path is None:
        wrong = "found no such file, expected the kit that the plan was made with"
        raise InputError(str(places[0]), Problem("", wrong, "--kit FILE says where it is now"))
    return load_kit(path), path


def _nobodys() -> "InputError":
    from catalog.errors import InputError, Problem

    hint = "--kit FILE names a kit of your own; `pegwright kit new` writes one"
    return InputError("--keep", Problem("", "found the built-in kit, which takes no swatches", hint))


def _keep(path: Path, kit: "Kit", entry: dict[str, object], *, checked: bool) -> None:
    """Add the count to the kit. Raises InputError, with nothing written, for one that its swatches doubt."""
    from catalog.errors import InputError, Problem
    from catalog.kitfile import add_swatch
    from solver.door import judged

    doubted = judged(kit, entry).itself
    if doubted and not checked:
        hint = "count again; if it is right as it is, say so: --keep --checked"
        raise InputError("--keep", *(Problem("", f"nothing was written: {words}", hint) for words in doubted))
    add_swatch(path, {**entry, "checked": True} if checked else entry)
    typer.echo(f"{printable(str(path))}: the count is kept as a swatch", err=True)


def _print(report: "AdjustReport", title: str, unit: str) -> None:
    from solver.cli.table import folded, notes_lines, option_lines, say, terminal_width
    from solver.door.lines import branch_lines, halfway_lines

    width = terminal_width()
    say(*folded(halfway_lines(report, title, unit), width))
    say(*notes_lines(report.notes, (), width))
    if report.again:
        say("", "Started again by this gauge, the best setup of the kit would be:")
        alone = report.again.model_copy(update={"front": False})  # a mark that tells options apart
        say(*option_lines([alone], unit, width))
    elif not report.again_complete:
        say("", "time ran out before the best setup for starting again was known")
    else:
        say("", "By this gauge no setup of the kit holds all rules: `pegwright find` says why.")
    if report.as_planned:
        say("", *folded(branch_lines(report, unit), width))


def _care(cautions: list[str], *, more: bool) -> None:
    """What the plan warns of, as it was saved."""
    from solver.cli.table import notes_lines, say, terminal_width

    if cautions:
        say("", *notes_lines((), cautions, terminal_width(), more=more))

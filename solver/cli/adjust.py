"""`pegwright adjust PLAN.json`: half-way, and the gauge came out different: what now?"""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import printable
from solver.cli.data import put_json

if TYPE_CHECKING:
    from catalog.errors import InputError
    from catalog.kit import Kit
    from solver.plan.saved import SavedPlan
    from solver.report.adjust import AdjustReport, AsPlanned

OVER = {"in": (101_600, "4 in"), "cm": (100_000, "10 cm")}


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
    kit: Annotated[Path | None, typer.Option(metavar="FILE", help="The kit; else the one of the plan.")] = None,
    units: Annotated[
        str | None, typer.Option(metavar="in|cm", help="Print lengths in in or cm; else as saved.")
    ] = None,
    more: Annotated[bool, typer.Option("--more", help="Say all that there is to say.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """What will a piece half-way really measure, what is left to do, or is it better to start again? (exit code 1)"""
    from catalog.item import item
    from solver.cli.options import one_of
    from solver.door import adjust, kept_as, load_plan

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

    if option is None and saved.kit is None:
        return built_in_kit(), None
    places = [in_folder(option)] if option else [Path(saved.kit or ""), plan.parent / Path(saved.kit or "").name]
    path = next((p for p in places if p.exists()), None)
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

    width = terminal_width()
    say(*folded([*_count_again(report, unit), verdict(report), *story(report, title, unit)], width))
    say(*notes_lines(report.notes, (), width))
    if report.again:
        say("", "Started again by this gauge, the best setup of the kit would be:")
        alone = report.again.model_copy(update={"front": False})  # a mark that tells options apart
        say(*option_lines([alone], unit, width))
    else:
        say("", "By this gauge no setup of the kit holds all rules: `pegwright find` says why.")
    if report.as_planned:
        say("", *folded([other_branch(report, report.as_planned, unit)], width))


def _care(cautions: list[str], *, more: bool) -> None:
    """What the plan warns of, as it was saved."""
    from solver.cli.table import notes_lines, say, terminal_width

    if cautions:
        say("", *notes_lines((), cautions, terminal_width(), more=more))


def _count_again(report: "AdjustReport", unit: str) -> Iterator[str]:
    """The first thing to do where a count is far from the plan."""
    far = [
        f"{e.counted:.4g} {e.what} over {_len(e.over_mm, unit)} where {e.foretold:.1f} were foretold "
        f"({e.deviations:.1f} sd off)"
        for e in report.count_again
    ]
    if far:
        yield f"Count again, over more rows if you can: {', and '.join(far)}."


def verdict(report: "AdjustReport") -> str:
    """What to do, in a sentence; where the count is doubted, what to do if it is right."""
    said = _verdict(report.start_again, report.length.take_back)
    said = f"{said}." if report.start_again or report.yarn.lasts else f"{said}, but the yarn will not last."
    return f"If it is right: {said}" if report.count_again else said


def _verdict(start_again: bool, back: int) -> str:
    from solver.terms import count

    if start_again:
        return "START AGAIN: it cannot suit any more"
    return f"TAKE BACK {count(back, 'row')}, then go on: it will suit" if back else "GO ON: it will suit"


def other_branch(report: "AdjustReport", other: "AsPlanned", unit: str) -> str:
    """What to do if the doubted count was wrong and the piece is as planned."""
    what = " and ".join(each.what for each in report.count_again)
    size = "wide" if report.flat else "round"
    return (
        f"If it was miscounted and the {what} are as planned: {_verdict(other.start_again, other.length.take_back)}; "
        f"{_len(other.girth.girth_mm, unit)} {size}, {other.length.rows_left} rows still to work, "
        f"{_len(other.length.length_mm, unit)} long in the end."
    )


def story(report: "AdjustReport", title: str, unit: str) -> Iterator[str]:
    """The figures behind it: gauge, girth, rows, other pieces, yarn."""
    from solver.door import per_length

    gauge, (over, words) = report.gauge, OVER[unit]
    name = title + (f", the {report.piece}" if report.others else "")
    yield f"{name}: {report.pegs} pegs, {report.rows_done} of {report.rows_planned} rows worked."
    yield (
        f"Counted: {per_length(over, gauge.counted_stitch_width_um)} stitches and "
        f"{per_length(over, gauge.counted_row_height_um)} rows over {words}, where "
        f"{per_length(over, gauge.planned_stitch_width_um)} and "
        f"{per_length(over, gauge.planned_row_height_um)} were planned."
    )
    yield from _girth(report, unit)
    yield from _rows(report, unit)
    for other in report.others:
        yield f"The {other.name}: {other.rows_total} rows, not {other.rows_planned}, on {other.pegs} pegs."
    yield _yarn(report, unit)


def _girth(report: "AdjustReport", unit: str) -> Iterator[str]:
    girth, what = report.girth, "Width" if report.flat else "Girth"
    yield (
        f"{what}: {_len(girth.girth_mm, unit)}, 80 % likely {_len(girth.likely_mm[0], unit)} to "
        f"{_len(girth.likely_mm[1], unit)}, where {_len(girth.planned_mm, unit)} was planned."
    )
    span = f"{_len(girth.low_mm, unit)} to {_len(girth.high_mm, unit)} will do"
    suits = f"{span}: it {'suits' if girth.suits else 'does not suit'} ({100 * girth.chance:.0f} % likely to)."
    if girth.body_mm is None:
        yield f"Asked: {_len(girth.wanted_mm, unit)}; {suits}"
        return
    asked = f" ({girth.fit_asked} was asked)" if girth.fit_asked not in (None, girth.fit) else ""
    yield f"On a body of {_len(girth.body_mm, unit)} that is nearest to {girth.fit}{asked}; {suits}"


def _rows(report: "AdjustReport", unit: str) -> Iterator[str]:
    from solver.terms import count

    length = report.length
    if length.take_back:
        too = length.done_mm > length.wanted_mm
        why = "it is too long already" if too else "from here no rows make the length"
        yield f"Take back {count(length.take_back, 'row')} first: {why} ({_len(length.done_mm, unit)} worked)."
    band = "" if length.band_depth_mm is None else f", with a band of {_len(length.band_depth_mm, unit)}"
    parts = list(_parts(report))
    many = f"{length.rows_left} ({', then '.join(parts)})" if len(parts) > 1 else (*parts, "none")[0]
    yield (
        f"Rows still to work: {many}; {length.rows_total} in all make {_len(length.length_mm, unit)}, where "
        f"{_len(length.wanted_mm, unit)} is wanted{band}."
    )
    if not length.suits:
        yield f"No number of rows comes within {_len(length.within_mm, unit)} of that length."


def _parts(report: "AdjustReport") -> Iterator[str]:
    """What is left to work, section by section; openings and short rows where they are still to come."""
    from catalog.item import kinds

    sections = report.length.sections
    for i, section in enumerate(sections):
        kind = kinds()[section.kind]
        to_come = not any(s.rows_done for s in sections[i:])
        if section.rows_left:
            yield f"{section.rows_left} {'of ' if kind.rib else ''}{kind.title}"
        elif to_come and (kind.role == "opening" or kind.short):
            yield f"the {kind.title}"


def _yarn(report: "AdjustReport", unit: str) -> str:
    from catalog.units import yarn_text

    yarn = report.yarn
    used, still, needed = (yarn_text(round(1e6 * m), unit) for m in (yarn.used_m, yarn.still_m, yarn.needed_m))
    so_far = f"Yarn: about {used} used, {still} to come"
    if yarn.spare_m is None or yarn.on_hand_m is None:
        return f"{so_far}, {needed} in all with margin."
    hand, spare = (yarn_text(round(1e6 * abs(m)), unit) for m in (yarn.on_hand_m, yarn.spare_m))
    return f"{so_far} with margin; of {hand} on hand {spare} {'will be left' if yarn.lasts else 'is missing'}."


def _len(mm: float, unit: str) -> str:
    from catalog.units import length_text

    return length_text(round(mm * 1000), unit)

"""A plan kept in a file: the ask, the chosen option, and what a sheet or a second look at the gauge needs beside them.

Written by `find --save` and `sheet`, read by `sheet --from` and `adjust`. The kit is named, not kept: only the loom as
it is built goes along, so that a sheet can still be drawn when the kit has changed.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from catalog.errors import InputError, Problem, at_terminal, bad_word, printable, shown
from catalog.outputs import Outputs
from solver.asking.wish import Wish
from solver.plan.older import as_it_was_made, with_lengths
from solver.report.find import AskPlan, Mm, Model, OptionPlan, Pegs, Um

if TYPE_CHECKING:
    from solver.model.ask import LoomAsk, Way
    from solver.plan.answer import Answer


BoardPegs = Annotated[int, Field(ge=1, le=10_000)]
EndPegs = Pegs  # an end board may have none
Ppm = Annotated[int, Field(ge=0, le=10_000_000)]
NEWER = re.compile(r"pegwright\.plan\.v(\d{1,4})")
HINT = at_terminal("`pegwright find ITEM … --save FILE` writes one")


class LoomPlan(Model):
    """A loom as it is built. `side_boards` and `end_boards` give the pegs of each board by name."""

    name: str
    build: Literal["ring", "slider", "boards"]
    pitch_mm: Mm
    pegs_least: Pegs
    pegs_most: Pegs
    side_boards: dict[str, BoardPegs]
    end_boards: dict[str, EndPegs]
    bolts_per_board: Pegs
    stands_known: bool


class GaugePlan(Model):
    """The gauge that was counted on, per stitch and row in µm, with its spread (sd of the logarithm) in ppm."""

    width_um: Um
    height_um: Um
    loop_um: Um
    width_ppm: Ppm
    height_ppm: Ppm
    basis: Literal["measured", "blended", "estimate"]


class PieceWay(Model):
    """How one piece is worked: spacers at every bolt of its loom, and its gauge there."""

    spacers: Annotated[int, Field(ge=0, le=100)]
    gauge: GaugePlan


class SavedPlan(BaseModel):
    """One chosen option with its ask. `kit` is the kit file's name, None for the built-in kit; `unit` is in or cm.

    `ways` holds one entry for each of the option's pieces, the main one first.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    format: Literal["pegwright.plan.v1"] = "pegwright.plan.v1"
    item: str
    unit: Literal["in", "cm"]
    kit: str | None
    wish: Wish
    ask: AskPlan
    option: OptionPlan
    ways: list[PieceWay] = Field(min_length=1)
    looms: list[LoomPlan] = Field(min_length=1)
    cautions: list[str]
    notes: list[str]
    complete: bool

    @property
    def gauge(self) -> GaugePlan:
        """The gauge of the main piece."""
        return self.ways[0].gauge

    def place(self, piece: str) -> int:
        """Where a piece stands among the option's pieces."""
        return next(i for i, each in enumerate(self.option.pieces) if each.name == piece)

    def loom(self, name: str) -> LoomPlan:
        """The loom of that name."""
        return next(each for each in self.looms if each.name == name)


def plan_of(answer: "Answer", wish: Wish, kit: str | None = None, rank: int = 1) -> SavedPlan:
    """The plan of one of an answer's options. Raises InputError where there is no option of that rank."""
    from solver.plan.answer import cautions, jam_notes
    from solver.plan.such_bodies import body_notes  # whoever only reads a plan needs no search

    report, options = answer.report, answer.found.options
    if not 1 <= rank <= len(options):
        raise bad_word("option", rank, f"1 to {len(options)}, the options that were found")
    setup = options[rank - 1].setup
    looms = {p.way.loom.name: _loom_plan(p.way.loom) for p in setup.pieces}
    return SavedPlan(
        item=wish.item,
        unit="in" if wish.unit == "in" else "cm",
        kit=kit,
        wish=wish,
        ask=report.ask,
        option=report.options[rank - 1],
        ways=[PieceWay(spacers=p.way.spacers, gauge=_gauge_plan(p.way)) for p in setup.pieces],
        looms=list(looms.values()),
        cautions=cautions(answer.kit, wish, answer.ask, [report.options[rank - 1]]),
        # the report's notes speak of options by their rank
        notes=[
            *answer.ask.notes,
            *body_notes(wish, [options[rank - 1]], ranked=False),
            *jam_notes([options[rank - 1]]),
        ],
        complete=report.complete,
    )


def _gauge_plan(way: "Way") -> GaugePlan:
    return GaugePlan(
        width_um=way.width_um,
        height_um=way.height_um,
        loop_um=way.loop_um,
        width_ppm=way.width_ppm,
        height_ppm=way.height_ppm,
        basis=way.basis,  # type: ignore[arg-type]
    )


def _loom_plan(loom: "LoomAsk") -> LoomPlan:
    return LoomPlan(
        name=loom.name,
        build=loom.build,  # type: ignore[arg-type]
        pitch_mm=loom.pitch_um / 1000,
        pegs_least=loom.pegs_least,
        pegs_most=loom.pegs_most,
        side_boards={b.name: b.pegs for b in loom.boards},
        end_boards={b.name: b.pegs for b in loom.ends},
        bolts_per_board=loom.bolts_per_board,
        stands_known=loom.stands is not None,
    )


def save_plan(plan: SavedPlan, path: Path, outputs: Outputs) -> None:
    """Write a plan as one JSON document, whole or not at all. Raises InputError where it cannot be written."""
    outputs.write(path, (plan.model_dump_json(indent=1) + "\n").encode())


def kit_places(plan: SavedPlan, file: Path) -> list[Path]:
    """Where the kit of a plan in that file may be: as it was named, or beside the plan; nowhere if it is built in."""
    return [] if plan.kit is None else [Path(plan.kit), file.parent / Path(plan.kit).name]


def load_plan(path: Path) -> SavedPlan:
    """The plan in a file. Raises InputError that says what was found and what was expected."""
    from catalog.reading import read_bytes
    from catalog.shapes import load
    from solver.plan.slips import slips
    from solver.plan.unknown import pass_over

    source = str(path)
    try:
        found: Any = json.loads(read_bytes(path, what="a saved plan", hint=HINT).decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise _wrong(source, "found text that is not JSON, expected a saved plan") from None
    if not isinstance(found, dict) or "format" not in found:
        raise _wrong(source, "found JSON without a format, expected a saved plan")
    if found["format"] != "pegwright.plan.v1":
        raise _other_format(source, found["format"])
    found.pop("written_by", None)  # the mark of our files: catalog/mark.py
    if odd := list(_unprintable(found)):
        raise InputError(source, *odd)
    unnamed = as_it_was_made(found)
    pass_over(SavedPlan, found, source)
    plan = load(SavedPlan, found, source, lambda _: None)
    problems = list(slips(plan))
    if problems:
        raise InputError(source, *problems)
    return with_lengths(plan) if unnamed else plan


def _other_format(source: str, found: object) -> InputError:
    """Of a plan: by whom it was written; of anything else: how a plan comes about."""
    version = NEWER.fullmatch(found) if isinstance(found, str) else None
    hint = "this plan was written by a newer pegwright: update it" if version and int(version[1]) > 1 else HINT
    return InputError(source, Problem("", f'found format {shown(found)}, expected "pegwright.plan.v1"', hint))


def _unprintable(here: Any, path: tuple[Any, ...] = ()) -> Iterator[Problem]:
    """Texts with signs that would steer a terminal; nothing that pegwright saved has any."""
    from catalog.shapes import key_text

    if isinstance(here, str) and printable(here) != here:
        yield Problem(key_text(path), f"found {shown(here)}, expected text that can be printed")
    steps = here.items() if isinstance(here, dict) else enumerate(here) if isinstance(here, list) else ()
    for step, value in steps:
        if isinstance(step, str) and printable(step) != step:
            yield Problem(key_text((*path, step)), "found a key that cannot be printed")
        yield from _unprintable(value, (*path, step))


def _wrong(source: str, problem: str) -> InputError:
    return InputError(source, Problem("", problem, HINT))

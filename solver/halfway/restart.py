"""Starting again by what a piece has taught: the best setup by its count, on the loom as it stands."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import hypot
from typing import Any

from catalog.kit import Counted, Frame, Kit, SetUpAs, Swatch
from catalog.units import half_up
from solver.asking.ask_of import ask_of
from solver.gauging.observation import sds
from solver.gauging.prior import whole
from solver.halfway.on_piece import OnPiece, on_piece
from solver.model.ask import Way
from solver.plan.in_plain import option_plan
from solver.plan.saved import SavedPlan
from solver.report.find import OptionPlan
from solver.search.best_first import find

Counts = Sequence[Mapping[str, object]]


def swatch_entry(plan: SavedPlan, told: OnPiece, stitches: Counts, rows: Counts) -> dict[str, object]:
    """The count on a piece as the kit's `[[swatch]]`: the setting is the plan's.

    Several counts become one over the length of the first, not many swatches: they are of one piece.
    """
    o = plan.option
    where = {"loom": o.loom, "spacers": o.spacers, "yarn": o.yarn, "strands": o.strands, "stitch": o.stitch}
    each = {"stitches": (stitches, told.counted_width_um), "rows": (rows, told.counted_height_um)}
    return {**where, **{key: _one(counts, um) for key, (counts, um) in each.items()}}


def kept_as(plan: SavedPlan, kit: Kit, stitches: Counts, rows: Counts) -> dict[str, object]:
    """The `[[swatch]]` that the counts on a piece are kept as."""
    wide, high = ([Counted.model_validate(each) for each in counts] for counts in (stitches, rows))
    return swatch_entry(plan, on_piece(plan.gauge, wide, high, sds(kit)), stitches, rows)


def _one(counts: Counts, each_um: float) -> dict[str, object]:
    if len(counts) == 1:
        return dict(counts[0])
    over = Counted.model_validate(counts[0]).over_um
    return {"count": half_up(Fraction(1000 * over / each_um)) / 1000, "over": counts[0]["over"]}


def kit_now(kit: Kit, plan: SavedPlan, entry: Mapping[str, Any]) -> Kit:
    """The kit with the count as one more swatch, and the plan's frame standing as the plan has it."""
    option = plan.option
    stands = SetUpAs.model_construct(  # as it is, however many boards that may be
        sides=tuple(option.side_boards), ends=option.end_board,
        pegs_per_side=option.pegs_per_side, spacers=option.spacers,
    )  # fmt: skip

    def standing(loom: Any) -> Any:
        here = isinstance(loom, Frame) and loom.name == option.loom and option.side_boards
        known = here and {*option.side_boards} <= {b.name for b in loom.side_boards}
        return loom.model_copy(update={"set_up_as": stands}) if known else loom

    swatch = Swatch.model_validate({**entry, "checked": True})  # whoever starts again by it takes it for right
    return kit.model_copy(update={"loom": tuple(map(standing, kit.loom)), "swatch": (*kit.swatch, swatch)})


def best_again(kit: Kit, plan: SavedPlan, entry: Mapping[str, Any], told: OnPiece) -> tuple[OptionPlan | None, bool]:
    """The best setup of the plan's wish by the new gauge, None where there is none, and whether that is proven.

    At the plan's setting the count rules here too, with what the next piece may differ by; others learn from it.
    """
    o, piece = plan.option, sds(kit).piece * 1e6
    ask = ask_of(kit_now(kit, plan, entry), plan.wish)

    def counted(way: Way) -> Way:
        if way.key != (o.loom, o.spacers, o.yarn, o.strands):
            return way
        return replace(
            way, width_um=told.width_um, height_um=told.height_um, loop_um=told.loop_um,
            width_ppm=whole(hypot(told.width_ppm, piece)), height_ppm=whole(hypot(told.height_ppm, piece)),
        )  # fmt: skip

    found = find(replace(ask, ways=tuple(map(counted, ask.ways))), 1)
    return next((option_plan(option, 1) for option in found.options), None), found.complete

"""Starting again by what a piece has taught: the best setup with its count as a swatch, on the loom as it stands."""

from collections.abc import Mapping
from typing import Any

from catalog.kit import Frame, Kit, SetUpAs, Swatch
from solver.plan.saved import SavedPlan
from solver.report.find import OptionPlan


def swatch_entry(plan: SavedPlan, stitches: Mapping[str, object], rows: Mapping[str, object]) -> dict[str, object]:
    """The count on a piece as the kit's `[[swatch]]`: the setting is the plan's."""
    o = plan.option
    where = {"loom": o.loom, "spacers": o.spacers, "yarn": o.yarn, "strands": o.strands, "stitch": o.stitch}
    return {**where, "stitches": dict(stitches), "rows": dict(rows)}


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

    swatch = Swatch.model_validate(entry)
    return kit.model_copy(update={"loom": tuple(map(standing, kit.loom)), "swatch": (*kit.swatch, swatch)})


def best_again(kit: Kit, plan: SavedPlan, entry: Mapping[str, Any]) -> tuple[OptionPlan | None, bool]:
    """The best setup of the plan's wish by the new gauge, None where there is none, and whether that is proven."""
    from solver.plan.answer import answer

    got = answer(kit_now(kit, plan, entry), plan.wish, 1)
    return next(iter(got.report.options), None), got.report.complete

"""What a sheet says to cut for an edge is what the yarn in all counts for it, with its margin; and it reaches: a cut
end goes round the pegs that it is threaded on, a bind-off through its loops.
"""

import pytest

from catalog.units import half_up
from solver.plan.saved import SavedPlan
from solver.report.find import PiecePlan
from solver.steps.of_plan import plan_steps
from solver.steps.step import BindOff, Cut, Sew
from tests.kits.sheetplans import CASES, plan_for

TAIL = 150_000  # µm that is left hanging of a cut end
HAND = 300_000  # µm that a needle and two hands want beyond the last peg


@pytest.mark.parametrize(("name", "rib"), CASES)
def test_the_yarn_of_an_edge_goes_round(name: str, rib: str | None) -> None:
    """Three girths to bind off and one to gather were less than the loops and the pegs take."""
    plan = plan_for(name, rib)
    for steps, piece in zip(plan_steps(plan), plan.option.pieces, strict=True):
        loop, pitch = made_of(plan, piece)
        bound = [s.yarn_um for s in steps.steps if isinstance(s, BindOff)]
        end, strands = piece.sections[-1], plan.option.strands
        (cut,) = [s.tail_um for s in steps.steps if isinstance(s, Cut)]
        around = pitch * piece.pegs
        if any(isinstance(s, Sew) for s in steps.steps):  # three strands, on the pegs and stretched
            around = 3 * max(around, half_up(1250 * piece.girth_mm), half_up(1000 * (piece.must_pass_mm or 0)))
        assert all(um >= 1.25 * loop * piece.pegs for um in bound)
        assert half_up(1000 * end.yarn_mm) == pytest.approx(strands * (bound[0] if bound else cut - TAIL), abs=2000)
        assert bound or cut >= around + HAND
        assert half_up(1000 * end.yarn_mm) >= strands * (bound[0] if bound else around + HAND // 2)


def made_of(plan: SavedPlan, piece: PiecePlan) -> tuple[int, int]:
    """One loop, and from peg to peg, of the loom that the piece is worked on."""
    return plan.ways[plan.place(piece.name)].gauge.loop_um, half_up(1000 * plan.loom(piece.loom).pitch_mm)

"""From a plan to its steps: every section by its kind, in the order of work, then both ends made fast."""

from catalog.figure import mm_um, ppm
from catalog.item import Kind, item, kinds
from catalog.units import half_up, share
from solver.model.setup import narrowest
from solver.plan.saved import SavedPlan
from solver.report.find import PiecePlan, SectionPlan
from solver.steps.step import (
    BindOff,
    Check,
    Cut,
    Fill,
    Join,
    KnitOver,
    LiftEdge,
    LiftOff,
    Opening,
    PickUp,
    PieceSteps,
    PullShut,
    Rows,
    Secure,
    Sew,
    SewUp,
    ShortRows,
    Step,
    Tail,
    Through,
    Wrap,
)

BOTH_ENDS = 2  # drawn ends of a piece that is closed all round
FIRST_CHECK = 10  # rows before the gauge is measured: enough to show, few enough to undo (own)


def plan_steps(plan: SavedPlan) -> tuple[PieceSteps, ...]:
    """The steps of every piece of a plan, in the order in which they are made."""
    return tuple(_Piece(plan, piece).steps() for piece in plan.option.pieces)


class _Piece:
    """One piece on its way: what its sections share while they turn into steps."""

    def __init__(self, plan: SavedPlan, piece: PiecePlan) -> None:
        self.plan, self.piece = plan, piece
        recipe = next((p for p in item(plan.item, plan.wish.recipes).piece if p.name == piece.name), None)
        self.flat = piece.flat or (recipe is not None and recipe.flat)
        self.sewn_to = recipe.sewn_to if recipe else None
        self.edge = recipe.edge.value // 2 if recipe and recipe.edge else 0
        gauge = plan.ways[plan.place(piece.name)].gauge
        self.height_um, self.width_um, self.loop_um = gauge.height_um, gauge.width_um, gauge.loop_um
        self.must_pass_um = half_up(1000 * (piece.must_pass_mm or 0))
        self.pitch_um = half_up(1000 * plan.loom(piece.loom).pitch_mm)
        self.tail_um = mm_um("tail_mm")
        self.row = 1  # the next row of all pegs
        self.to_check = piece == plan.option.pieces[0]

    def steps(self) -> PieceSteps:
        """All steps; what is off the loom is closed after the last of them."""
        work: list[Step] = []
        close: list[Step] = []
        for section in self.piece.sections:
            kind = kinds()[section.kind]
            if kind.role == "start":
                work += self._start(kind)
                close += _fast("start", range(1, section.pegs + 1, 2) if kind.gathers else None)
            elif kind.role == "opening":
                work.append(Opening(range(1, section.pegs + 1)))
            elif kind.role == "rows":
                work.append(self._rows(kind, section))
            else:
                work += self._end(kind)
                close += _fast("end", self._off() if kind.gathers else None)
                close += [SewUp(self.row - 1)] if kind.gathers and self.flat else []
        if any(isinstance(s, SewUp) for s in close):
            close = [*close[1:], close[0]]  # the seam comes down to the corner that the first tail closes
        made = self.piece
        ring = self.plan.loom(made.loom).build == "ring"
        corners = not ring and not self.flat
        if len([s for s in close if isinstance(s, PullShut)]) == BOTH_ENDS:
            close.insert(-2, Fill())
            if self.sewn_to:
                close[-1] = Secure("end", True, kept=True)
                close.append(Join(self.sewn_to.piece, self.sewn_to.where, mm_um("joining_mm")))
        return PieceSteps(made.name, made.copies, made.loom, made.pegs, self.flat, corners, (*work, *close), ring)

    def _all(self) -> range:
        return range(1, self.piece.pegs + 1)

    def _off(self) -> range:
        """All pegs from where the yarn hangs: to and fro, after an even number of rows, that is the last one."""
        return self._all()[::-1] if self.flat and self.row % 2 else self._all()

    def _start(self, kind: Kind) -> list[Step]:
        """A drawn start lies on every other peg first, and only there are two loops to knit over."""
        tail, pegs = Tail(self.tail_um), self._all()
        if kind.picks_up:
            return [PickUp(self._opening(), pegs), tail]
        if kind.short:
            half = pegs[: len(pegs) // 2]
            # wrapped backwards, the yarn hangs at peg 1, where short rows and rounds begin
            return [tail, Wrap(half[::-1]), self._short(kind, half), LiftEdge(half, pegs[len(half) :])]
        if not kind.gathers:
            return [tail, Wrap(pegs)]
        other, between = pegs[::2], pegs[1::2]
        return [tail, Wrap(other, woven=True), Wrap(pegs), KnitOver(other, between)]

    def _opening(self) -> str:
        """The piece whose opening this one is picked up from."""
        pieces = self.plan.option.pieces
        return next((p.name for p in pieces if any(kinds()[s.kind].role == "opening" for s in p.sections)), "first")

    def _short(self, kind: Kind, half: range) -> ShortRows:
        return ShortRows(kind.title, self.plan.option.stitch, half, narrowest(len(half)))

    def _rows(self, kind: Kind, section: SectionPlan) -> Step:
        if kind.short:
            return self._short(kind, self._all()[: section.pegs])
        first, last = self.row, self.row + section.rows - 1
        ribbed = "P" in kind.pattern
        early = None
        if self.to_check and section.rows > FIRST_CHECK and (not ribbed or not self.piece.rows_plain):
            self.to_check = False
            early = Check(first + FIRST_CHECK - 1, FIRST_CHECK, FIRST_CHECK * self.height_um, ribbed)
        self.row += section.rows
        return Rows(
            kind.name, kind.title, kind.pattern, self.plan.option.stitch, self._all(), first, section.rows,
            Check(last, last, last * self.height_um, ribbed), early, self.flat, self.edge,
        )  # fmt: skip

    def _end(self, kind: Kind) -> list[Step]:
        pegs, edge, more = self._off(), kind.edge_yarn, 1_000_000 + ppm("margin")  # as in the yarn of the whole
        yarn = share(edge.per_peg_um(self.loop_um, self.pitch_um), more) * len(pegs) + share(edge.extra_um, more)
        if edge.rounds:
            sewn = share(edge.rounds_um(len(pegs), self.pitch_um, self.width_um, self.must_pass_um), more)
            return [Cut(sewn + yarn + self.tail_um), Sew(pegs, not self.flat)]
        if kind.gathers:
            return [Cut(yarn + self.tail_um), Through(pegs), LiftOff(pegs)]
        return [BindOff(pegs, yarn), Cut(self.tail_um), Through(pegs[-1:]), LiftOff(pegs[-1:])]


def _fast(end: str, drawn: range | None) -> list[Step]:
    return [Secure(end, False)] if drawn is None else [PullShut(end, drawn), Secure(end, True)]

"""A batch: rows of asks and one kit in; the plan of who gets which setup when, as a report, out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from catalog.kit import Frame, Kit
from catalog.units import half_up
from solver.many.built import Placed, placed
from solver.many.gather import Asks, Gathered, Wanted, gather
from solver.many.greedy import chances
from solver.many.groups import Shares, Stage
from solver.many.jobs import Served, serve
from solver.many.ledger import ledger
from solver.many.order import Step, Work, order_of_work
from solver.many.reasons import Reasons
from solver.many.shelf import Shelf, shelf_of
from solver.many.staged import staged
from solver.many.swatch import helpful_swatch
from solver.model.timing import Undecided, remaining
from solver.plan.answer import Answer, cautions
from solver.plan.in_plain import ask_plan, option_plan
from solver.report.batch import AssignedPlan, BatchReport, ElsewherePlan, StagePlan, SwatchPlan, UnservedPlan
from solver.report.find import FindReport, OptionPlan
from solver.search.best_first import Found

UNITS = {10_000: "pieces", 1: "balls", 1000: "mm"}  # of a stage, by how many of its whole units are one


@dataclass(frozen=True, slots=True)
class BatchAnswer:
    """The report, and behind it the rows and who is placed where, in the order of the report."""

    report: BatchReport
    wanted: Sequence[Wanted]
    found: Gathered
    placed: list[Placed]

    def answer(self, at: int, kit: Kit) -> Answer:
        """One assigned copy as `find` would answer it with that option alone: what a sheet is made from."""
        each, plan = self.placed[at], self.report.assigned[at]
        ask, wish = self.found.asks[each.served.row], self.wanted[each.served.row].wish
        told = FindReport(
            ask=ask_plan(ask),
            options=[plan.option],
            complete=True,
            cautions=cautions(kit, wish, ask, [plan.option]),
            notes=list(ask.notes),
        )
        return Answer(kit, ask, Found([each.option]), told)


def plan_batch(
    asks: Asks,
    wanted: Sequence[Wanted],
    *,
    turns: int | None = None,
    buy: bool = False,
    tell: Callable[[int], None] = lambda _: None,
) -> BatchAnswer:
    """The plan. `tell` is called with 1 for each of rows + 2 parts done.

    Raises InputError for wishes that name what does not exist.
    """
    kit = asks.kit
    shelf = shelf_of(kit, turns, buy)
    found = gather(asks, wanted, shelf, tell)
    stands = frozenset(loom.name for loom in kit.loom if isinstance(loom, Frame) and loom.set_up_as)
    shares, stages = staged(found.groups, shelf, stands, late=found.late)
    tell(1)
    served, without = serve(wanted, found, shares)
    work = order_of_work(served, shelf)
    tell(1)
    here = placed(work)
    stopped = bool(found.late) or any(stage.out_of_time for stage in stages)
    reasons = Reasons(kit, shelf, found, shares, stopped)
    plans = [_stage(stage) for stage in stages] + [_order_stage(work)]
    assigned = _assigned(wanted, here, work)
    report = BatchReport(
        assigned=assigned,
        unserved=[
            UnservedPlan(
                name=wanted[row].name,
                copy=copy + 1,
                row=wanted[row].row,
                item=wanted[row].wish.item,
                priority=wanted[row].priority,
                says=reasons.of(row, wanted[row].wish),
            )
            for row, copy in without
        ],
        yarn=ledger(served, shelf),
        served=len(served),
        asked=len(served) + len(without),
        likely_to_fit=chances(found.groups, shares) / 10_000,
        changes=work.changes,
        stages=plans,
        complete=not found.late and all(stage.gap_pct == 0 for stage in plans),
        out_of_time=stopped or _up(),
        next_swatch=_swatch(kit, found, served),
        cautions=_cautions(kit, wanted, found, [each.option for each in assigned]),
        notes=_notes(shelf, found, shares, work),
    )
    return BatchAnswer(report, wanted, found, here)


def _up() -> bool:
    """Whether the time ran out on the way, be it only over reasons or the swatch."""
    left = remaining()
    return left is not None and left <= 0


def _swatch(kit: Kit, found: Gathered, served: Sequence[Served]) -> SwatchPlan | None:
    try:
        return helpful_swatch(kit, found.asks, served)
    except Undecided:
        return None


def _assigned(wanted: Sequence[Wanted], here: Sequence[Placed], work: Work) -> list[AssignedPlan]:
    number = {id(step): i for i, step in enumerate(work.steps, 1)}
    plans = []
    for each in here:
        row, main = wanted[each.served.row], each.steps[0]
        line = each.served.line
        plans.append(
            AssignedPlan(
                name=row.name,
                copy=each.served.copy + 1,
                row=row.row,
                item=row.wish.item,
                priority=row.priority,
                option=option_plan(each.option, 1),
                loom_no=main.loom_no,
                turn=main.turn,
                order=number[id(main)],
                changes=each.changes(main),
                elsewhere=[_elsewhere(each, step, number[id(step)]) for step in each.steps[1:]],
                wind_off_m=line.taken_mm / 1000,
                wind_off_g=_grams(line.way.mtex, line.taken_mm),
            )
        )
    return plans


def _elsewhere(each: Placed, step: Step, order: int) -> ElsewherePlan:
    return ElsewherePlan(
        pieces=[each.option.setup.pieces[i].ask.name for i in step.job.pieces],
        loom=step.loom,
        loom_no=step.loom_no,
        turn=step.turn,
        order=order,
        changes=each.changes(step),
    )


def _grams(mtex: int | None, mm: int) -> float | None:
    """Mass of so many mm, g to one decimal; None where no tex is known."""
    return None if mtex is None else half_up(Fraction(mtex * mm, 10**8)) / 10


def _stage(stage: Stage) -> StagePlan:
    value, bound = stage.value / stage.unit, stage.bound / stage.unit
    return StagePlan(
        stage=stage.name, unit=UNITS[stage.unit], value=value, bound=bound, gap_pct=_gap(stage.value, stage.bound)
    )


def _order_stage(work: Work) -> StagePlan:
    return StagePlan(
        stage="changes, for this plan",
        unit="changes",
        value=work.changes,
        bound=work.bound,
        gap_pct=_gap(work.changes, work.bound),
    )


def _gap(value: int, bound: int) -> float:
    """The gap in percent of the greater of the two."""
    return 0.0 if value == bound else max(0.01, round(100 * abs(bound - value) / max(abs(bound), abs(value)), 2))


def _cautions(kit: Kit, wanted: Sequence[Wanted], found: Gathered, used: Sequence[OptionPlan]) -> list[str]:
    """Every caution of every row, each once; yarns and pegs are those of what is assigned."""
    each = zip(wanted, found.asks, strict=True)
    return list(dict.fromkeys(c for row, ask in each for c in cautions(kit, row.wish, ask, used, classroom=True)))


def _notes(shelf: Shelf, found: Gathered, shares: Shares, work: Work) -> list[str]:
    notes = list(dict.fromkeys(note for ask in found.asks for note in ask.notes))
    unknown = sorted({s.loom for s in work.steps if s.stands[0].sides and None in s.before})
    if unknown:
        notes.append(f"nobody said how {', '.join(unknown)} stands: setting it up the first time is no change")
    unsure = sum(
        count
        for group, counts in zip(found.groups, shares, strict=True)
        for line, count in zip(group.lines, counts, strict=True)
        if line.way.basis != "measured"
    )
    if unsure:
        rest = "1 of the pieces rests" if unsure == 1 else f"{unsure} of the pieces rest"
        notes.append(f"{rest} on your other swatches or a guess: knit a swatch of their own setting")
    silent = sorted(y.name for y in shelf.yarns.values() if shelf.buy and y.ball_mm is None)
    if silent:
        notes.append(f"no length of a ball is known of {', '.join(silent)}: what more of it is needed is not counted")
    return notes

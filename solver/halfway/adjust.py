"""A second look at a piece half-way: what it will really measure, the rows still to work, the yarn, starting again."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.errors import InputError, Problem, bad_word, word
from catalog.figure import mm_um, ppm
from catalog.item import item
from catalog.kit import Counted, Kit
from catalog.units import half_up, share
from solver.asking.ask_of import ask_of
from solver.gauging.chance import chance_within, likely_girth_um
from solver.gauging.doubt import doubt_notes
from solver.gauging.observation import sds
from solver.halfway.on_piece import FarOff, OnPiece, as_planned, far_off, on_piece
from solver.halfway.restart import Counts, best_again, swatch_entry
from solver.halfway.rows_left import Rows, rows_left
from solver.halfway.suiting import Suits, chosen, suits
from solver.model.ask import Ask, PieceAsk, Way
from solver.model.setup import yarn_of
from solver.model.timing import Undecided
from solver.plan.in_plain import metres, mm
from solver.plan.saved import SavedPlan
from solver.report.adjust import (
    AdjustReport,
    AsPlanned,
    CountAgain,
    GaugeNow,
    GirthNow,
    LengthNow,
    OtherPiece,
    SectionLeft,
    YarnNow,
)
from solver.report.find import PiecePlan

MOST_ROWS, MOST_PEGS = 4_000, 400


@dataclass(frozen=True, slots=True)
class _Work:
    """What the figures are drawn from: the ask as it is now, the main piece, its way at the new gauge."""

    ask: Ask
    piece: PieceAsk
    plan: SavedPlan
    made: PiecePlan
    way: Way
    told: OnPiece
    rows: Rows


def adjust(kit: Kit, plan: SavedPlan, rows_done: int, stitches: Counts, rows: Counts) -> AdjustReport:
    """The report on the main piece of a plan with `rows_done` rows worked.

    `stitches` and `rows`: one or more counts on the piece, each {"count", "over"} as a kit holds it. Raises InputError
    for a plan that its kit or recipe no longer bears out, or more rows than it has.
    """
    made = plan.option.pieces[0]
    _check(plan, rows_done)
    ask = ask_of(_of_plan(kit, plan), plan.wish)
    piece = ask.pieces[0]
    names = [p.name for p in plan.option.pieces]
    if names != [p.name for p in ask.pieces]:
        raise _changed("option.pieces", f"found {', '.join(names)}, expected {', '.join(p.name for p in ask.pieces)}")
    wide, high = ([Counted.model_validate(each) for each in counts] for counts in (stitches, rows))
    told = on_piece(plan.gauge, wide, high, sds(kit))
    far = list(far_off(plan.gauge, told, wide, high, kit))
    recipe = item(plan.item, plan.wish.recipes)
    fit = chosen(kit, recipe, plan.wish)
    wanted = suits(recipe, piece, ask.body_um, fit)
    work = _work(ask, plan, told, rows_done)
    girth, length = _girth(work, wanted, fit.fit), _length(work, rows_done)
    try:
        again, proven = best_again(kit, plan, swatch_entry(plan, told, stitches, rows), told)
    except Undecided:  # what has been said of the piece itself stands
        again, proven = None, False
    return AdjustReport(
        item=plan.item,
        piece=piece.name,
        copies=piece.copies,
        flat=piece.flat,
        pegs=made.pegs,
        rows_done=rows_done,
        rows_planned=sum(work.rows.planned),
        gauge=_gauge(work),
        girth=girth,
        length=length,
        others=list(_others(work)),
        yarn=_yarn(work, rows_done),
        start_again=not (girth.suits and length.suits),
        again=again,
        again_complete=proven,
        count_again=[_far_off_plan(each) for each in far],
        as_planned=_as_if(work, wanted, fit.fit, rows_done, frozenset(f.what for f in far)) if far else None,
        notes=[*doubt_notes(kit)],
    )


def _of_plan(kit: Kit, plan: SavedPlan) -> Kit:
    """The kit with no yarn but the plan's and those whose swatches it learns from: the rest has no say here."""
    say = {plan.option.yarn, plan.wish.pins.yarn, *(each.yarn for each in kit.swatch)}
    return kit.model_copy(update={"yarn": tuple(each for each in kit.yarn if each.name in say)})


def _work(ask: Ask, plan: SavedPlan, told: OnPiece, rows_done: int) -> _Work:
    made, piece = plan.option.pieces[0], ask.pieces[0]
    way = replace(_way(ask, plan), width_um=told.width_um, height_um=told.height_um, loop_um=told.loop_um)
    depth = made.rows_band * plan.gauge.height_um
    rows = rows_left(piece, ask.costs, _planned(piece, made), rows_done, way, depth)
    return _Work(ask, piece, plan, made, way, told, rows)


def _far_off_plan(far: FarOff) -> CountAgain:
    return CountAgain(
        what=far.what,  # type: ignore[arg-type]
        counted=round(far.counted, 3),
        over_mm=mm(far.over_um),
        foretold=round(far.foretold, 3),
        deviations=round(far.deviations, 1),
    )


def _as_if(work: _Work, wanted: Suits, fit: str | None, rows_done: int, doubted: frozenset[str]) -> AsPlanned:
    """The other branch: what is doubted was miscounted, and the piece is there as planned."""
    other = _work(work.ask, work.plan, as_planned(work.plan.gauge, work.told, doubted), rows_done)
    girth, length = _girth(other, wanted, fit), _length(other, rows_done)
    return AsPlanned(girth=girth, length=length, start_again=not (girth.suits and length.suits))


def _check(plan: SavedPlan, rows_done: int) -> None:
    made = plan.option.pieces[0]
    if not 1 <= made.pegs <= MOST_PEGS or not 1 <= made.rows_total <= MOST_ROWS:
        found = f"found {made.pegs} pegs and {made.rows_total} rows, expected 1 to {MOST_PEGS} and 1 to {MOST_ROWS}"
        raise InputError("the plan", Problem("option.pieces[1]", found))
    if not 0 <= rows_done <= made.rows_total:
        raise bad_word("rows_done", rows_done, f"0 to {made.rows_total}, the rows of the plan")


def _planned(piece: PieceAsk, made: PiecePlan) -> tuple[int, ...]:
    """The plan's rows of all pegs, section by section of the recipe."""
    if [s.kind for s in piece.sections] != [s.kind for s in made.sections]:
        raise _changed(f"option.pieces: {piece.name}", "found other sections than those of its recipe")
    return tuple(0 if ask.short else max(s.rows, 0) for ask, s in zip(piece.sections, made.sections, strict=True))


def _changed(key: str, problem: str) -> InputError:
    return InputError(
        "the plan", Problem(key, problem, "the recipe or the kit has changed since: find and save it again")
    )


def _way(ask: Ask, plan: SavedPlan) -> Way:
    o = plan.option
    found = next((w for w in ask.ways if w.key == (o.loom, o.spacers, o.yarn, o.strands)), None)
    if found is None:
        wrong = f"found {o.loom} with {o.spacers} spacers and {o.strands} × {o.yarn}, which the kit does not have"
        raise InputError(
            "the plan", Problem("option", wrong, f"give the kit that it was made with: {word('kit')} FILE")
        )
    return found


def _gauge(work: _Work) -> GaugeNow:
    told, planned = work.told, work.plan.gauge
    return GaugeNow(
        counted_stitch_width_um=round(told.counted_width_um, 3),
        counted_row_height_um=round(told.counted_height_um, 3),
        stitch_width_um=told.width_um,
        row_height_um=told.height_um,
        stitches_spread_pct=round(told.width_ppm / 10_000, 2),
        rows_spread_pct=round(told.height_ppm / 10_000, 2),
        planned_stitch_width_um=planned.width_um,
        planned_row_height_um=planned.height_um,
    )


def _girth(work: _Work, wanted: Suits, fit: str | None) -> GirthNow:
    pegs, body = work.made.pegs, work.ask.body_um
    girth = pegs * work.told.width_um
    low, high = likely_girth_um(work.told, pegs)
    middle, either = (wanted.low_um + wanted.high_um) // 2, (wanted.high_um - wanted.low_um) // 2
    return GirthNow(
        girth_mm=mm(girth),
        likely_mm=(mm(low), mm(high)),
        planned_mm=mm(pegs * work.plan.gauge.width_um),
        wanted_mm=mm(work.piece.girth_um),
        low_mm=mm(wanted.low_um),
        high_mm=mm(wanted.high_um),
        body_mm=None if body is None else mm(body),
        ease_mm=None if body is None else mm(girth - body),
        fit_asked=fit,  # type: ignore[arg-type]
        fit=wanted.fit(girth),  # type: ignore[arg-type]
        chance=round(chance_within(work.told, pegs, middle, either), 4) if either >= 0 else 0.0,
        suits=wanted.holds(girth),
    )


def _length(work: _Work, rows_done: int) -> LengthNow:
    piece, rows, height = work.piece, work.rows, work.told.height_um
    each = list(zip(piece.sections, rows.planned, rows.done, rows.now, rows.left, strict=True))
    plain = sum(left for s, _, _, _, left in each if s.kind == "plain")
    bands = [now for s, _, _, now, _ in each if s.rows == "band"]
    length = rows.total * height
    return LengthNow(
        done_mm=mm(rows_done * height),
        take_back=rows.back,
        rows_left=sum(rows.left),
        rows_left_plain=plain,
        rows_left_band=sum(rows.left) - plain,
        rows_total=rows.total,
        sections=[
            SectionLeft(kind=s.kind, rows_planned=was, rows_done=done, rows=now, rows_left=left)
            for s, was, done, now, left in each
        ],
        length_mm=mm(length),
        wanted_mm=mm(piece.length_um),
        within_mm=mm(piece.length_tol_um),
        band_depth_mm=mm(bands[0] * height) if bands else None,
        suits=abs(length - piece.length_um) <= piece.length_tol_um,
    )


def _alike(work: _Work) -> Iterator[tuple[PieceAsk, PiecePlan, int]]:
    """The lesser pieces worked as the main piece is, with their rows by the new gauge."""
    option, plan = work.plan.option, work.plan
    for piece, made, way in list(zip(work.ask.pieces, option.pieces, plan.ways, strict=True))[1:]:
        if (made.loom, way.spacers) == (option.loom, option.spacers):
            depth = made.rows_band * plan.gauge.height_um
            yield piece, made, rows_left(piece, work.ask.costs, _planned(piece, made), 0, work.way, depth).total


def _others(work: _Work) -> Iterator[OtherPiece]:
    for _, made, rows in _alike(work):
        yield OtherPiece(
            name=made.name,
            pegs=made.pegs,
            girth_mm=mm(made.pegs * work.told.width_um),
            rows_total=rows,
            rows_planned=made.rows_total,
        )


def _yarn(work: _Work, rows_done: int) -> YarnNow:
    """Yarn at the new gauge; of pieces on other looms as planned. Used: the loops worked, on one copy, no margin."""
    way, piece, pegs = work.way, work.piece, work.made.pegs
    needed = yarn_of(piece, way).um(pegs, work.rows.total)
    alike = {made.name for _, made, _ in _alike(work)}
    needed += sum(yarn_of(p, way).um(made.pegs, rows) for p, made, rows in _alike(work))
    needed += sum(_as_planned(p, way.strands) for p in work.plan.option.pieces[1:] if p.name not in alike)
    begun = sum(s.edge_yarn.per_peg_um(way.loop_um, way.loom.pitch_um) for s in piece.sections if s.role == "start")
    each = rows_done * way.loop_um + (piece.cast_ons * way.loop_um + begun if rows_done else 0)
    used = min(way.strands * pegs * each, needed)
    hand = way.on_hand_um
    return YarnNow(
        needed_m=metres(needed),
        used_m=metres(used),
        still_m=metres(needed - used),
        planned_m=work.plan.option.yarn_m,
        on_hand_m=None if hand is None else metres(hand),
        spare_m=None if hand is None else metres(hand - needed),
        balls=None if way.ball_um is None else -(-needed // way.ball_um),
        lasts=hand is None or needed <= hand,
    )


def _as_planned(made: PiecePlan, strands: int) -> int:
    tails = strands * share(2 * mm_um("tail_mm"), 1_000_000 + ppm("margin"))
    return made.copies * (half_up(Fraction(sum(s.yarn_mm for s in made.sections)) * 1000) + tails)

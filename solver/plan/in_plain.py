"""An option of the search in plain measures: the very object that tables, JSON and sheets are drawn from."""

from fractions import Fraction

from catalog.figure import figure, ppm
from catalog.units import half_up, share
from solver.gauging.chance import chance_within, likely_girth_um
from solver.model.ask import Ask, Band, PieceAsk, Way
from solver.model.costs import risk_um
from solver.model.setup import Finished, FinishedPiece, yarn_of
from solver.plan.changes import changes_in_words
from solver.plan.sections import Worked, worked
from solver.report.find import AskPlan, BandPlan, LengthPlan, OptionPlan, PiecePlan, SectionPlan
from solver.search.option import Option, end_name


def mm(um: int | Fraction) -> float:
    """µm as mm to three decimals."""
    return half_up(um) / 1000


def metres(um: int) -> float:
    """µm as m to three decimals, rounded half up."""
    return half_up(Fraction(um, 1000)) / 1000


def _band_plan(band: Band) -> BandPlan:
    return BandPlan(least=mm(band.least_um), prefer=mm(band.prefer_um), most=mm(band.most_um))


def ask_plan(ask: Ask) -> AskPlan:
    """The ask in plain measures."""
    main = ask.pieces[0]
    band = main.band
    return AskPlan(
        item=ask.item,
        girth_mm=mm(main.girth_um),
        length_mm=mm(main.length_um),
        lengths=lengths_asked(main),
        band_mm=_band_plan(band) if band else None,
        rib=ask.rib,
        stitch=ask.stitch,
        bind_off=ask.bind_off,  # type: ignore[arg-type]
        ease_mm=None if ask.ease_um is None else mm(ask.ease_um),
        body_mm=None if ask.body_um is None else mm(ask.body_um),
        girth_within_mm=mm(main.girth_tol_um),
        length_within_mm=mm(main.length_tol_um),
        yarn_price_mm_per_m=float(ask.yarn_price),
        risk_weight=float(ask.costs.risk),
        sure=None if ask.sure_ppm is None else ask.sure_ppm / 1_000_000,
    )


def option_plan(option: Option, rank: int) -> OptionPlan:
    """An option in plain measures."""
    setup, way = option.setup, option.setup.way
    ask, main = setup.ask, setup.pieces[0]
    pieces = [_piece_plan(option, i) for i in range(len(setup.pieces))]
    first = pieces[0]
    unit = Fraction(1, 10_000 * ask.costs.scale)
    risk = risk_um(ask, option.cell.ways)
    low, high = likely_girth_um(way, main.pegs)
    bare = sum(_yarn(p, margin=False) for p in setup.pieces)
    return OptionPlan(
        rank=rank,
        front=option.front,
        loom=way.loom.name,
        build=way.loom.build,  # type: ignore[arg-type]
        side_boards=first.side_boards,
        end_board=first.end_board,
        pegs=main.pegs,
        pegs_per_side=first.pegs_per_side,
        pegs_per_end=first.pegs_per_end,
        spacers=way.spacers,
        yarn=way.yarn,
        strands=way.strands,
        rib=ask.rib,
        stitch=ask.stitch,
        bind_off=ask.bind_off,  # type: ignore[arg-type]
        pieces=pieces,
        rows_total=main.rows_total,
        rows_plain=main.rows_plain,
        rows_band=main.rows_band,
        sections=first.sections,
        stitch_width_um=way.width_um,
        row_height_um=way.height_um,
        gauge_basis=way.basis,  # type: ignore[arg-type]
        gauge_spread_pct=round(way.width_ppm / 10_000, 2),
        girth_mm=mm(main.girth_um),
        girth_likely_mm=(mm(low), mm(high)),
        length_mm=mm(main.length_um),
        band_depth_mm=mm(main.band_um) if main.ask.band else None,
        band_relaxed_girth_mm=_relaxed(main),
        girth_miss_mm=mm(main.girth_um - main.ask.girth_um),
        length_miss_mm=mm(main.length_um - main.ask.length_um),
        band_miss_mm=mm(main.band_um - main.ask.band.prefer_um) if main.ask.band else None,
        fit_error_mm=mm(option.likely_miss * unit - risk),
        risk_mm=mm(risk),
        likely_miss_mm=mm(option.likely_miss * unit),
        score_mm=round(float(option.score * unit) / 1000, 4),
        chance_of_fit=round(chance_within(way, main.pegs, main.ask.girth_um, main.ask.girth_tol_um), 4),
        yarn_m=metres(setup.yarn_um),
        yarn_margin_m=round(metres(setup.yarn_um) - metres(bare), 3),
        yarn_g=_grams(way, setup.yarn_um),
        balls=None if way.ball_um is None else -(-setup.yarn_um // way.ball_um),
        yarn_on_hand_m=None if way.on_hand_um is None else metres(way.on_hand_um),
        changes=changes_in_words(main),
    )


def _grams(way: Way, yarn_um: int) -> float | None:
    """Mass of so much yarn, g to one decimal: tex × length; None where no tex is known."""
    return None if way.mtex is None else half_up(Fraction(way.mtex * yarn_um, 10**11)) / 10


def _relaxed(piece: FinishedPiece) -> float | None:
    """Relaxed girth of the ribbed part: it draws in about 30 % (published)."""
    ribbed = piece.ask.band is not None or not piece.ask.has_plain
    return mm((1 - figure("rib_draws_in")) * piece.girth_um) if ribbed and piece.ask.repeat > 1 else None


def _yarn(piece: FinishedPiece, *, margin: bool) -> int:
    return yarn_of(piece.ask, piece.way, margin=margin).um(piece.pegs, piece.rows_total)


def _piece_plan(option: Option, i: int) -> PiecePlan:
    piece = option.setup.pieces[i]
    loom = piece.way.loom
    frame = loom.build == "boards"
    ends = sum(b.pegs * c for b, c in zip(loom.ends, piece.ends, strict=True))
    sides = [b.name for b, c in zip(loom.boards, piece.sides, strict=True) for _ in range(c)]
    return PiecePlan(
        name=piece.ask.name,
        copies=piece.ask.copies,
        loom=loom.name,
        spacers=piece.way.spacers,
        pegs=piece.pegs,
        rows_total=piece.rows_total,
        rows_plain=piece.rows_plain,
        rows_band=piece.rows_band,
        girth_mm=mm(piece.girth_um),
        length_mm=mm(piece.length_um),
        side_boards=sides,
        end_board=next(iter(end_name(option.setup, i)), None),
        pegs_per_side=_along(option, i) if frame else None,
        pegs_per_end=ends if frame else None,
        must_pass_mm=None if piece.ask.must_pass_um is None else mm(piece.ask.must_pass_um),
        flat=piece.ask.flat,
        lengths=lengths_made(piece),
        sections=section_plans(option.setup, i),
    )


def _along(option: Option, i: int) -> int:
    """Pegs of each side between the ends: flat work leaves them where an earlier piece on those boards had them."""
    piece = option.setup.pieces[i]
    for before in reversed(option.setup.pieces[:i]) if piece.ask.flat else ():
        same = (before.way.loom.name, before.sides, before.ends, before.way.spacers)
        if same == (piece.way.loom.name, piece.sides, piece.ends, piece.way.spacers) and piece.pegs <= before.along:
            return before.along
    return piece.along


def lengths_asked(piece: PieceAsk) -> list[LengthPlan]:
    """How long a piece is wanted, by name, as finished."""
    reach = next((s.reach_um for s in piece.sections if s.reach_um is not None), 0)
    band = piece.band.prefer_um if piece.band else 0
    return [
        LengthPlan(name=n.name, mm=mm(n.um(worked=piece.length_um, reach=reach, band=band, around=piece.girth_um)))
        for n in piece.lengths
    ]


def lengths_made(piece: FinishedPiece) -> list[LengthPlan]:
    """How long a piece becomes, by name."""
    reached = zip(piece.ask.sections, piece.rows, strict=True)
    reach = next((rows * piece.way.height_um for s, rows in reached if s.rows == "reach"), 0)
    made = {"worked": piece.length_um, "reach": reach, "band": piece.band_um, "around": piece.girth_um}
    return [LengthPlan(name=n.name, mm=mm(n.um(**made))) for n in piece.ask.lengths]


def section_plans(setup: Finished, i: int) -> list[SectionPlan]:
    """The sections of one copy of a piece: rows and stitches, and the yarn of each without the two tails."""
    return [_section_plan(setup.pieces[i], section) for section in worked(setup, i)]


def _section_plan(piece: FinishedPiece, section: Worked) -> SectionPlan:
    way, edge, more = piece.way, section.ask.edge_yarn, 1_000_000 + ppm("margin")
    loops = (section.stitches + section.set_up_loops) * share(way.loop_um, more)
    beyond = share(edge.per_peg_um(way.loop_um, way.loom.pitch_um), more) * section.pegs + share(edge.extra_um, more)
    rounds = edge.rounds_um(section.pegs, way.loom.pitch_um, way.width_um, piece.ask.must_pass_um or 0)
    yarn = way.strands * (loops + beyond + share(rounds, more))
    return SectionPlan(
        kind=section.ask.kind, rows=section.rows, pegs=section.pegs, stitches=section.stitches, yarn_mm=mm(yarn)
    )

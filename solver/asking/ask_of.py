"""Kit + item + body + gauge → Ask. Everything is looked up here; past it there are only whole numbers."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import sqrt

from catalog.errors import InputError, Problem, bad_word, unknown_word
from catalog.figure import figure, inch_um, mm_um, ppm
from catalog.item import Cuff, Item, Kind, Linear, Named, Piece, Section, edge_kind, item, kinds, linear_um, rib_kind
from catalog.kit import Frame, Kit, Loom, Slider, Yarn
from catalog.source import Sourced
from catalog.units import half_up, length_text, share
from catalog.yarn import density_mg_cm3, lofty_um, pressed_um, tex_mtex, wraps_per_inch
from solver.asking.girth import Girth, girth_of
from solver.asking.measures import Measures, in_words, measures, set_around
from solver.asking.read import LONGEST_UM
from solver.asking.wish import Wish
from solver.gauging.doubt import doubt_notes, doubts, loop_notes
from solver.gauging.posterior import gauges, look_of_many
from solver.gauging.prior import Setting
from solver.model.ask import (
    FAR_SPACERS,
    WHOLE,
    AsItStands,
    Ask,
    Band,
    BoardAsk,
    Costs,
    LoomAsk,
    NamedLength,
    PieceAsk,
    SectionAsk,
    Way,
)  # fmt: skip

LONGEST_MADE_UM = 20 * LONGEST_UM  # an ask is at most LONGEST_UM; a recipe may add several of its lengths
STRANDS = (1, 2)  # searched unless the ask pins another count


def ask_of(kit: Kit, wish: Wish, dropped: frozenset[str] = frozenset(), like: Ask | None = None) -> Ask:
    """The Ask of a wish over a kit; rules in `dropped` need not hold, and ways reach further for it.

    `like` is an Ask of the same kit, stitch, pins and gauge, for another size: its ways are taken as they are.
    Raises InputError for a wish that names what does not exist or leaves out what is needed.
    """
    recipe = item(wish.item, wish.recipes)
    _check_pins(kit, wish)
    girth = girth_of(kit, recipe, wish)
    rib = _rib(recipe, wish)
    pieces, known = _pieces(recipe, wish, girth, rib)
    ways, notes = _ways(kit, wish, dropped) if like is None else (like.ways, ())
    weights = kit.weights
    price = weights.yarn_price if wish.yarn_price is None else wish.yarn_price
    risk = weights.risk if wish.risk_weight is None else wish.risk_weight
    ease = None if girth.body_um is None else known.um["around"] - girth.body_um
    return Ask(
        wish.item, pieces, ways, wish.pins, Costs.of(weights.girth, weights.length, weights.band, price, risk),
        wish.measured_only, rib.rib if rib else None, wish.stitch, pieces[0].bind_off, ease, girth.body_um, price,
        dropped, (*girth.notes, *known.notes, *_over_what(recipe, pieces[0], wish), *notes), wish.sure_ppm,
        girth.body_sd_um, otherwise=_flat_instead(recipe, pieces),
    )  # fmt: skip


def _check_pins(kit: Kit, wish: Wish) -> None:
    for what, name, known in (
        ("loom", wish.pins.loom, [e.name for e in kit.loom]),
        ("yarn", wish.pins.yarn, [e.name for e in kit.yarn]),
    ):
        if name is not None and name not in known:
            raise unknown_word(what, what, name, known)
    for table, entries in (("loom", kit.loom), ("yarn", kit.yarn)):
        if not entries:
            raise InputError("the kit", Problem(table, f"found no [[{table}]], expected at least one", ""))


def _rib(recipe: Item, wish: Wish) -> Kind | None:
    """The kind of rib that the bands are worked in; None for an item without one, or with one that is left out."""
    if wish.rib and not (recipe.rib or recipe.rib_optional):
        raise bad_word("rib", wish.rib, f"no rib: {recipe.name} has no ribbed part")
    chosen = wish.rib or recipe.rib
    return rib_kind(chosen) if chosen else None


def _pieces(recipe: Item, wish: Wish, girth: Girth, rib: Kind | None) -> tuple[tuple[PieceAsk, ...], Measures]:
    """The pieces of an item at the size that is wanted, and the measures that they are made to."""
    every = [form for p in recipe.piece for form in p.forms]
    long = recipe.long.of if recipe.long and recipe.long.of and wish.long_um is None else None
    known = measures(recipe, wish, girth, [*every, *([long] if long else [])])
    lowest = _raise(recipe, wish, girth, known) if girth.body_um is not None else 0
    around = known.um["around"]
    chosen = [p for p in recipe.piece if p.when is None or p.when.holds(around, girth.months)]
    if not chosen:
        raise bad_word("around", length_text(around, wish.unit), f"a girth that {recipe.name} has a recipe for")
    if any("band" in form for form in (*every, *([long] if long else []))):
        known.um["band"] = _band(recipe, wish, girth, around).prefer_um
    _long(recipe, wish, known)
    names, main = [p.name for p in chosen], chosen[0].length
    if "long" in main and len(main) > 1:
        worked = length_text(linear_um(main, known.needed(main, recipe)), wish.unit)
        known.notes.append(f"worked length {worked}: {in_words(main, known, wish.unit)}")
    _check_edge(recipe, wish, chosen)
    return tuple(_piece(recipe, p, wish, girth, known, rib, lowest, names) for p in chosen), known


def _check_edge(recipe: Item, wish: Wish, chosen: list[Piece]) -> None:
    """Raises InputError for an edge that is asked of what has none."""
    if wish.bind_off and not any(s.kind == "bind-off" for p in chosen for s in p.sections):
        raise bad_word("bind_off", wish.bind_off, f"none: {recipe.name} is bound off nowhere")


def _over_what(recipe: Item, main: PieceAsk, wish: Wish) -> Iterator[str]:
    """Over what a passed-over edge goes, where something must pass and nobody said how big that is."""
    passes = next(p.must_pass for p in recipe.piece if p.name == main.name)
    if main.bind_off == "passed-over" and passes and main.must_pass_um is None:
        what = " and ".join(name.replace("_", " ") for name in passes)
        most = length_text(int(main.stretch * main.girth_um), wish.unit)
        yield f"passed over, the edge goes over a {what} of at most about {most}; sewn it would stretch further"


def _raise(recipe: Item, wish: Wish, girth: Girth, known: Measures) -> int:
    """Raise the wanted girth to what the recipe asks at least, as far as is known; the least girth, 0 for none."""
    asked = measures(recipe, wish, girth, recipe.least)
    lowest = max((linear_um(form, asked.um) for form in recipe.least if asked.known(form)), default=0)
    if wish.ease_um is not None and lowest > known.um["around"]:
        return 0  # an ease that is asked for is meant
    if lowest > known.um["around"]:
        set_around(known, lowest)
        known.notes += asked.notes
        known.notes.append(
            f"girth raised to {length_text(lowest, wish.unit)}: the {recipe.name} is no tighter than that"
        )
    return lowest


def _long(recipe: Item, wish: Wish, known: Measures) -> None:
    """Note the length asked for, or the item's own."""
    if not recipe.takes_long:
        if wish.long_um is not None:
            raise bad_word(
                "long",
                length_text(wish.long_um, wish.unit),
                f"none: the length of a {recipe.name} follows from its girth",
            )
        return
    own = recipe.long
    if wish.long_um is not None:
        known.um["long"] = wish.long_um
    elif own and own.share:
        known.um["long"] = half_up(own.share.value * known.um["body"])
    elif own and own.plain:
        known.um["long"] = own.plain.value
    elif own and own.of:
        known.um["long"] = linear_um(own.of, known.needed(own.of, recipe))
        length = length_text(known.um["long"], wish.unit)
        known.notes.append(f"length taken as {length}: {in_words(own.of, known, wish.unit)}")


def _piece(
    recipe: Item,
    piece: Piece,
    wish: Wish,
    girth: Girth,
    known: Measures,
    rib: Kind | None,
    least_um: int,
    names: list[str],
) -> PieceAsk:
    """One piece; the limits that the ask sets are those of the main piece, the others keep the usual ones."""
    main = piece.name == names[0]
    tall = linear_um(piece.length, known.needed(piece.length, recipe))
    if tall <= 0:
        found = length_text(known.um.get("long", 0), wish.unit)
        raise bad_word("long", found, f"more: the {piece.name} would have no rows at that length")
    passes = piece.must_pass if piece.must_pass and known.known(piece.must_pass) else None
    for key, form in (("girth", piece.girth), ("length", piece.length), ("must_pass", passes or {})):
        _sane(recipe, f"piece {piece.name}: {key}", form, known, wish)
    wide = linear_um(piece.girth, known.um)
    edge = edge_kind(wish.bind_off or ("sewn" if piece.must_pass else "passed-over"))
    sections = tuple(_section(s, recipe, known, rib, edge, names) for s in piece.sections)
    used = [kinds()[s.kind] for s in sections]
    stretch = min([figure("stretch_limit"), *(k.stretch.value for k in used if k.stretch)])
    has_band = any(s.rows == "band" for s in sections)
    gathers = piece.bulk_limit and any(k.gathers for k in used)
    asked = PieceAsk(
        name=piece.name,
        copies=piece.copies,
        sections=sections,
        girth_um=wide,
        length_um=tall,
        girth_tol_um=_tolerance(wish.girth_within_um if main else None, wide, "girth", piece.girth_within),
        length_tol_um=_tolerance(wish.length_within_um if main else None, tall, "length", piece.length_within),
        band=_band(recipe, wish, girth, wide) if has_band else None,
        repeat=max(len(k.pattern) for k in used),
        edge=piece.edge.value if piece.edge else 0,
        even=any(k.even for k in used),
        flat=piece.flat,
        bulk_limit_um=piece.bulk_limit.value if piece.bulk_limit and gathers else None,
        must_pass_um=linear_um(passes, known.um) if passes else None,
        girth_least_um=least_um if main else 0,
        picked_up=any(k.picks_up for k in used),
        stretch=stretch,
        lengths=tuple(_named(n) for n in piece.lengths) or WHOLE,
    )  # fmt: skip
    own = passes is not None and list(passes) == [recipe.body]
    return replace(asked, passes_anyway=own and asked.stretch_girth_um <= asked.girth_low_um)


def _sane(recipe: Item, key: str, form: Linear, known: Measures, wish: Wish) -> None:
    """Raises InputError where what a recipe makes of the measures is nothing at all, or longer than anything."""
    size = linear_um(form, known.needed(form, recipe))
    if form and not 0 < size <= LONGEST_MADE_UM:
        found = length_text(size, wish.unit) if abs(size) < 10**12 else "a length that nobody has"
        most = f"expected more than 0 and at most {LONGEST_MADE_UM // 1_000_000} m"
        raise InputError(f"{recipe.name}.toml", Problem(key, f"found {found} at this size, {most}"))


def _flat_instead(recipe: Item, pieces: tuple[PieceAsk, ...]) -> tuple[PieceAsk, ...]:
    """The pieces with those that may be worked flat so worked: no pairs asked, one stitch in the seam; () for none."""
    may = {p.name for p in recipe.piece if p.flat_instead}
    if not any(p.name in may for p in pieces):
        return ()
    return tuple(
        replace(p, flat=True, even=False, picked_up=False, seam=1, on_main=True) if p.name in may else p for p in pieces
    )


def _named(length: Named) -> NamedLength:
    return NamedLength(length.name, tuple((name, share.value) for name, share in length.of.items()))


def _section(
    section: Section, recipe: Item, known: Measures, rib: Kind | None, edge: Kind, names: list[str]
) -> SectionAsk:
    stands_for = {"rib": rib or kinds()["plain"], "bind-off": edge}
    kind = stands_for.get(section.kind) or kinds()[section.kind]
    reach = linear_um(section.reach, known.needed(section.reach, recipe)) if section.reach else None
    opens = names.index(section.opens) if section.opens in names else None
    return SectionAsk(
        kind=kind.name,
        role=kind.role,
        rows="reach" if section.reach else section.rows,
        repeat=len(kind.pattern),
        set_up_rows=kind.set_up_rows,
        edge_yarn=kind.edge_yarn,
        reach_um=reach,
        short=kind.short,
        half_set_up=kind.half_set_up,
        opens=opens,
        bind_off=kind.edge,
    )


def _tolerance(asked: int | None, size: int, what: str, own: Sourced[Fraction] | None) -> int:
    """How far a girth or length may miss: as asked, else the piece's own share, else what is usual.

    An inch (¾ in) or 8 % (10 %), the lesser (own).
    """
    if asked is not None:
        return asked
    if own is not None:
        return half_up(own.value * size)
    return min(inch_um(f"{what}_within_in"), share(size, ppm(f"{what}_within_share")))


def _band(recipe: Item, wish: Wish, girth: Girth, girth_um: int) -> Band:
    """The depths the band may have: one asked for ± half an inch, a span asked for, or what is usual at that girth."""
    if wish.band is None and recipe.cuff:
        return _cuff(recipe.cuff, girth)
    if wish.band is None:
        most = mm_um("band_most_small_mm" if girth_um < mm_um("band_narrow_girth_mm") else "band_most_mm")
        least = mm_um("band_least_mm")
        return _between(least, most)
    low, high = wish.band
    if high is None:
        give = inch_um("band_give_in")
        return Band(least_um=max(low - give, 0), prefer_um=low, most_um=low + give)
    return _between(low, high)


def _between(least: int, most: int) -> Band:
    return Band(least_um=least, prefer_um=(least + most) // 2, most_um=most)


def _cuff(cuff: Cuff, girth: Girth) -> Band:
    """The depths that a cuff may have on a child or on somebody grown: by the age, else by the body girth."""
    size = girth.around_um if girth.body_um is None else girth.body_um
    grown = girth.adult if girth.months is not None else size >= cuff.child_under.value
    least, most = (cuff.grown_least, cuff.grown_most) if grown else (cuff.child_least, cuff.child_most)
    return _between(least.value, most.value)


def _ways(kit: Kit, wish: Wish, dropped: frozenset[str]) -> tuple[tuple[Way, ...], tuple[str, ...]]:
    """Every way to work, in name order, and notes on doubted swatches, the source of yarn lengths, unknown yarns."""
    looms = sorted(kit.loom, key=lambda e: e.name)
    yarns = sorted(kit.yarn, key=lambda e: e.name)
    strands = sorted({*STRANDS, wish.pins.strands or 1})
    look_of_many(yarns)  # the reading of the kit lies behind
    settings = {
        Setting(loom.name, s, yarn.name, n, wish.stitch): (loom, s, yarn, n)
        for loom in looms for s in _spacers(loom, wish, dropped) for yarn in yarns for n in strands
    }  # fmt: skip
    look_of_many(settings)
    doubted = doubts(kit)
    known = gauges(kit, list(settings), pooled=wish.measured_only, doubted=doubted)
    look_of_many(settings)
    loom_asks = {loom.name: _loom(loom) for loom in looms}
    held = {(yarn.name, n): _held(yarn, n) for yarn in yarns for n in strands}
    look_of_many(settings)
    ways = tuple(
        Way(
            loom=loom_asks[loom.name],
            spacers=spacers,
            yarn=yarn.name,
            strands=n,
            width_um=g.width_um,
            height_um=g.height_um,
            loop_um=g.loop_um,
            width_ppm=g.width_ppm,
            height_ppm=g.height_ppm,
            basis=g.basis,
            swatched=g.swatched,
            **held[yarn.name, n],
        )
        for setting, (loom, spacers, yarn, n) in settings.items()
        if (g := known.get(setting))
    )  # fmt: skip
    notes = (note for yarn in yarns if wish.pins.yarn in (None, yarn.name) for note in _yarn_notes(yarn))
    return ways, (*doubt_notes(kit, doubted=doubted), *loop_notes(kit, doubted), *notes)


def _spacers(loom: Loom, wish: Wish, dropped: frozenset[str]) -> list[int]:
    """The spacer settings looked at: what the loom allows, the pinned one, and further where that law is dropped."""
    if not isinstance(loom, Frame) or loom.spacers is None:
        return [0]
    most = FAR_SPACERS if "spacers-on-hand" in dropped else loom.spacers.most
    pinned = wish.pins.spacers
    return sorted({*range(most + 1), *([pinned] if pinned is not None and pinned <= FAR_SPACERS else [])})


def _loom(loom: Loom) -> LoomAsk:
    if isinstance(loom, Frame):
        return _frame(loom)
    least, most = (loom.pegs_least, loom.pegs_most) if isinstance(loom, Slider) else (loom.pegs, loom.pegs)
    return LoomAsk(name=loom.name, build=loom.build, pitch_um=loom.pitch_um, pegs_least=least, pegs_most=most)


def _frame(loom: Frame) -> LoomAsk:
    pitch = loom.pitch_um
    boards, ends = (
        tuple(BoardAsk(name=b.name, pegs=b.pegs(pitch), on_hand=b.on_hand) for b in sorted(each, key=lambda b: b.name))
        for each in (loom.side_boards, loom.end_boards)
    )
    spacers = loom.spacers
    return LoomAsk(
        name=loom.name, build="boards", pitch_um=pitch,
        boards=boards, ends=ends, bolts_per_board=loom.bolts_per_board,
        joining=loom.joining, ends_anywhere=loom.ends_anywhere, spacers_most=spacers.most if spacers else 0,
        spacers_on_hand=spacers.on_hand if spacers else 0, stands=_stands(loom, boards, ends),
        along_apart=-(-mm_um("ends_apart_mm") // pitch),
    )  # fmt: skip


def _stands(loom: Frame, boards: tuple[BoardAsk, ...], ends: tuple[BoardAsk, ...]) -> AsItStands | None:
    now = loom.set_up_as
    if now is None:
        return None
    end = next((j for j, b in enumerate(ends) if b.name == now.ends), None)
    sides = tuple(now.sides.count(b.name) for b in boards)
    along = now.pegs_per_side or sum(c * b.pegs for c, b in zip(sides, boards, strict=True))
    return AsItStands(sides=sides, end=end, along=along, spacers=now.spacers)


def _held(yarn: Yarn, strands: int) -> dict[str, int | None]:
    """What so many strands of a yarn are, by the names that Way has for it."""
    mtex, density = tex_mtex(yarn), density_mg_cm3(yarn)
    pressed = pressed_um(mtex, strands, density) if mtex and density else None
    tightness = half_up(1000 * sqrt(mtex / 1000 * strands)) if mtex else None
    return {
        "lofty_um": lofty_um(yarn, strands),
        "pressed_um": pressed,
        "tightness": tightness,
        "mtex": mtex,
        "ball_um": yarn.length_per_ball_um,
        "on_hand_um": yarn.on_hand_um,
    }


def _yarn_notes(yarn: Yarn) -> Iterator[str]:
    if wraps_per_inch(yarn) is None:
        yield (
            f"no starting guess for {yarn.name}: class {yarn.weight} has no wraps per inch in the catalogue; "
            "give wraps_per_inch, or knit a swatch"
        )

"""What instead, in sentences: what to do for each rule that gives, and the setup that this leads to."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from catalog.units import length_text
from solver.asking.wish import Wish
from solver.model.setup import PieceSetup
from solver.plan.changes import spacers
from solver.search.option import Option
from solver.terms import count, listed
from solver.why.repair import Repair
from solver.why.words.phrases import length, piece_name, worked


@dataclass(frozen=True, slots=True)
class Step:
    """What one rule's give asks of a person: a phrase, how much in its unit ("um", "boards", "balls", …)."""

    rule: str
    says: str
    by: int
    unit: str


def steps_of(repair: Repair, wish: Wish) -> list[Step]:
    """One step for each rule that gives, in order."""
    return [_step(rule, give, repair, wish) for rule, give in zip(repair.rules, repair.gives, strict=True)]


def repair_words(steps: list[Step], option: Option, unit: str) -> str:
    """The whole repair as a sentence."""
    what = _joined([step.says for step in steps])
    return f"{what[0].upper()}{what[1:]}: {leads_to(option, unit)}."


def _joined(phrases: list[str]) -> str:
    """Phrases with "and" between; what two in a row begin with, "make the hat", is said once."""
    told = phrases[:1]
    for before, phrase in pairwise(phrases):
        start = " ".join(phrase.split()[:3]) + " "
        same = phrase.startswith("make the ") and before.startswith(start)
        told.append(phrase.removeprefix(start) if same else phrase)
    return ", and ".join(told)


def leads_to(option: Option, unit: str) -> str:
    """A setup in a line: pegs and rows, size, where and of what."""
    setup = option.setup
    main = setup.pieces[0]
    size = f"{length_text(main.girth_um, unit)} × {length_text(main.length_um, unit)}"
    return f"{count(main.pegs, 'peg')}, {count(main.rows_total, 'row')}, {size}, {worked(setup.way)}"


def _step(rule: str, give: int, repair: Repair, wish: Wish) -> Step:
    says, unit = STEPS[rule](repair, wish)
    return Step(rule, says, give, unit)


def _size(rule: str) -> Callable[[Repair, Wish], tuple[str, str]]:
    """Another girth or length: the piece that misses its limit, its size, and how far that is from the one wanted."""
    what, less, more = ("round", "smaller", "larger") if rule == "girth-within" else ("long", "shorter", "longer")

    def measure(piece: PieceSetup) -> tuple[int, int, int, int]:
        ask = piece.ask
        if rule == "girth-within":
            return int(piece.girth_um), ask.girth_um, ask.girth_low_um, ask.girth_um + ask.girth_tol_um
        return int(piece.length_um), ask.length_um, ask.length_um - ask.length_tol_um, ask.length_um + ask.length_tol_um

    def says(repair: Repair, wish: Wish) -> tuple[str, str]:
        phrases = []
        for i, piece in enumerate(repair.option.setup.pieces):
            have, want, low, high = measure(piece)
            if not low <= have <= high:
                flat = piece.ask.flat and rule == "girth-within"
                name, lies = piece_name(wish.item, i, piece.ask), "wide" if flat else what
                how = ("narrower", "wider") if flat else (less, more)
                miss, new = length(abs(have - want), wish.unit, 0), length(have, wish.unit, want)
                phrases.append(f"make the {name} {new} {lies}, {miss} {how[have > want]}")
        return " and ".join(phrases), "um"

    return says


def _band(repair: Repair, wish: Wish) -> tuple[str, str]:
    piece = next(p for p in repair.option.setup.pieces if p.ask.band and not _in_band(p))
    band, have = piece.ask.band, int(piece.band_um)
    if band is None:
        raise AssertionError("a band gives where there is none")
    limit, word = (band.least_um, "shallower") if have < band.least_um else (band.most_um, "deeper")
    miss = length(abs(have - limit), wish.unit, 0)
    return f"make the band {length(have, wish.unit, limit)} deep, {miss} {word} than you allow", "um"


def _in_band(piece: PieceSetup) -> bool:
    band = piece.ask.band
    return band is not None and bool(band.least_um <= piece.band_um <= band.most_um)


def _boards(repair: Repair, _: Wish) -> tuple[str, str]:
    """How many boards of which length are lacking, over all pieces."""
    lacking: dict[str, int] = {}
    for piece in repair.option.setup.pieces:
        loom = piece.way.loom
        for board, c in [*zip(loom.boards, piece.sides, strict=True), *zip(loom.ends, piece.ends, strict=True)]:
            short = 2 * c - board.on_hand
            if short > 0:
                words = f"more {board.name} {{}} ({count(board.pegs, 'peg')})"
                lacking[words] = max(lacking.get(words, 0), short)
    each = [f"{n} " + words.format("board" if n == 1 else "boards") for words, n in lacking.items()]
    return f"buy {listed(each)} for the {repair.option.setup.way.loom.name}", "boards"


def _spacers(repair: Repair, _: Wish) -> tuple[str, str]:
    give = dict(zip(repair.rules, repair.gives, strict=True))["spacers-on-hand"]
    return f"buy {count(give, 'more spacer', 'more spacers')} for the {repair.option.setup.way.loom.name}", "spacers"


def _yarn(repair: Repair, _: Wish) -> tuple[str, str]:
    give = dict(zip(repair.rules, repair.gives, strict=True))["yarn-on-hand"]
    return f"buy {count(give, 'more ball', 'more balls')} of {repair.option.setup.way.yarn}", "balls"


def _rib(repair: Repair, wish: Wish) -> tuple[str, str]:
    return f"work a {repair.rib} rib", "ribs"


def _swatch(repair: Repair, _: Wish) -> tuple[str, str]:
    return f"knit a swatch of {worked(repair.option.setup.way)}", "swatches"


def _pin(field: str) -> Callable[[Repair, Wish], tuple[str, str]]:
    def says(repair: Repair, wish: Wish) -> tuple[str, str]:
        setup, pin = repair.option.setup, getattr(wish.pins, field)
        way = setup.way
        match field:
            case "loom":
                return f"use the {way.loom.name}, not the {pin}", "looms"
            case "yarn":
                return f"use {way.yarn}, not {pin}", "yarns"
            case "pegs":
                return f"use {count(setup.pieces[0].pegs, 'peg')}, not {pin}", "pegs"
            case "spacers":
                return f"set {spacers(way.spacers)}, not {pin or 'none'}", "spacers"
            case _:
                return f"hold {count(way.strands, 'strand')}, not {pin}", "strands"

    return says


STEPS: dict[str, Callable[[Repair, Wish], tuple[str, str]]] = {
    "boards-on-hand": _boards,
    "spacers-on-hand": _spacers,
    "whole-repeats": _rib,
    "gauge-measured": _swatch,
    "yarn-on-hand": _yarn,
    "band-depth": _band,
    "girth-within": _size("girth-within"),
    "length-within": _size("length-within"),
    **{f"pin-{field}": _pin(field) for field in ("loom", "yarn", "pegs", "spacers", "strands")},
}

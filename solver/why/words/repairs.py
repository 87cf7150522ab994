"""What instead, in sentences: what to do for each rule that gives, and the setup that this leads to."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from catalog.units import half_up, length_text, length_um
from solver.asking.wish import Wish
from solver.model.setup import FinishedPiece
from solver.plan.changes import spacers
from solver.plan.in_plain import lengths_made
from solver.search.option import Option
from solver.terms import count, lengths_said, listed
from solver.why.asks import across_of, length_word
from solver.why.reask import Reask, long_um
from solver.why.surer import chance_of, round_down, stitches_of
from solver.why.words.phrases import called, length, percent, worked


@dataclass(frozen=True, slots=True)
class Step:
    """What one rule's give asks of a person: a phrase, how much in its unit ("um", "boards", "balls", …)."""

    rule: str
    says: str
    by: int
    unit: str


def steps_of(fix: Reask, wish: Wish) -> list[Step]:
    """One step for each rule that gives, in order; `wish` is the one before."""
    return [Step(rule, *STEPS[rule](fix, wish)) for rule in fix.rules]


def repair_words(steps: list[Step], fix: Reask, unit: str) -> str:
    """The whole repair as a sentence; another size says so."""
    what = _joined([step.says for step in steps])
    start = f"Another size: {what}" if fix.another_size else f"{what[0].upper()}{what[1:]}"
    return f"{start}: {leads_to(fix.option, unit)}."


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
    size = sized(main, unit)
    flat = [f", the {p.ask.name} worked flat" for p in setup.pieces if p.ask.seam]
    return "".join([f"{count(main.pegs, 'peg')}, {count(main.rows_total, 'row')}, {size}, {worked(setup.way)}", *flat])


def sized(piece: FinishedPiece, unit: str) -> str:
    """Girth and length of a piece; where it has several lengths each says what it is."""
    girth, lengths = length_text(piece.girth_um, unit), lengths_made(piece)
    if len(lengths) == 1:
        return f"{girth} × {length_text(piece.length_um, unit)}"
    return f"{girth} round, {lengths_said((n.name, length_text(half_up(n.mm * 1000), unit)) for n in lengths)}"


def typed(um: int, unit: str, before: int) -> str:
    """A length as it is to be typed, told apart from what it was before."""
    says = length(um, unit, before)
    return says if length_um(says) == um else length_word(um, unit)


Says = tuple[str, int, str]  # what to do, by how much, in which unit


def _girth(fix: Reask, wish: Wish) -> Says:
    """Another girth of the thing itself; what follows from it is worked out again."""
    new, old = fix.ask.pieces[0], fix.before.pieces[0]
    less, more, lies = ("narrower", "wider", "wide") if old.flat else ("smaller", "larger", "round")
    by, have, was = abs(new.girth_um - old.girth_um), new.girth_um, old.girth_um
    if (across := across_of(fix.wish)) is not None and wish.across_um is not None:
        have, was, lies = across, wish.across_um, "across"
    size = typed(have, wish.unit, was) if fix.wish.ease_um is None else length(have, wish.unit, was)
    says = f"make the {called(wish)} {size} {lies}"
    return f"{says}, {length(abs(have - was), wish.unit, 0)} {more if have > was else less}", by, "um"


def _length(fix: Reask, wish: Wish) -> Says:
    """Another length, or a wider limit where the length follows from the girth."""
    new, old = fix.ask.pieces[0], fix.before.pieces[0]
    if fix.wish.long_um == wish.long_um:
        wider = new.length_tol_um
        return f"let the length miss by {length(wider, wish.unit, old.length_tol_um)}", wider - old.length_tol_um, "um"
    was, have = wish.long_um or long_um(old), fix.wish.long_um or long_um(new)
    change = have - was
    says = f"make the {called(wish)} {typed(have, wish.unit, was)} long"
    return f"{says}, {length(abs(change), wish.unit, 0)} {'longer' if change > 0 else 'shorter'}", abs(change), "um"


def _band(fix: Reask, wish: Wish) -> Says:
    """A band shallower or deeper than was allowed."""
    new, old = (next(p.band for p in ask.pieces if p.band) for ask in (fix.ask, fix.before))
    low, high = old.least_um - new.least_um, new.most_um - old.most_um
    limit, word, by = (new.least_um, "shallower", low) if low > 0 else (new.most_um, "deeper", high)
    size = length(limit, wish.unit, old.least_um if low > 0 else old.most_um)
    return f"let the band be {size} deep, {length(by, wish.unit, 0)} {word} than you allow", by, "um"


def _boards(fix: Reask, _: Wish) -> Says:
    """How many boards of which length are to be bought."""
    edits = [edit for edit in fix.edits if "_boards." in edit.key]
    looms = {p.way.loom.name: p.way.loom for p in fix.option.setup.pieces}
    each = []
    for edit in edits:
        name, n = edit.key.split(".", 1)[1].removesuffix(".on_hand"), int(edit.now - edit.was)
        loom = looms.get(edit.name)
        pegs = next((b.pegs for b in (*loom.boards, *loom.ends) if b.name == name), None) if loom else None
        size = "" if pegs is None else f" ({count(pegs, 'peg')})"
        each.append(f"{n} more {name} {'board' if n == 1 else 'boards'}{size}")
    bought = sum(int(edit.now - edit.was) for edit in edits)
    return f"buy {listed(each)} for the {edits[0].name}", bought, "boards"


def _spacers(fix: Reask, _: Wish) -> Says:
    edit = next(each for each in fix.edits if each.key == "spacers.on_hand")
    n = int(edit.now - edit.was)
    return f"buy {count(n, 'more spacer', 'more spacers')} for the {edit.name}", n, "spacers"


def _yarn(fix: Reask, _: Wish) -> Says:
    edit = next(each for each in fix.edits if each.key == "balls")
    n = int(edit.now - edit.was)
    return f"buy {count(n, 'more ball', 'more balls')} of {edit.name}", n, "balls"


def _sure(fix: Reask, wish: Wish) -> Says:
    """Less sure, or more swatches and how sure they make it."""
    if not fix.swatches:
        less = (fix.before.sure_ppm or 0) - (fix.ask.sure_ppm or 0)
        return f"be content with {percent(fix.ask.sure_ppm or 0)} sure", less, "ppm"
    way = fix.option.setup.way
    n = stitches_of(way)
    over = length(n * way.width_um, wish.unit)
    one = "another swatch" if fix.had else "a swatch"
    swatch = one if fix.swatches == 1 else f"{fix.swatches} {'more ' * bool(fix.had)}swatches"
    each = "it counts" if fix.swatches == 1 else "each counts"
    sure = percent(round_down(chance_of(fix.option.setup)) or 0)
    says = f"knit {swatch} of {worked(way)}; if {each} {count(n, 'stitch', 'stitches')} over {over}"
    return f"{says}, the girth is {sure} sure", fix.swatches, "swatches"


def _rib(fix: Reask, _: Wish) -> Says:
    return f"work a {fix.wish.rib} rib", 1, "ribs"


def _swatch(fix: Reask, _: Wish) -> Says:
    return f"knit a swatch of {worked(fix.option.setup.way)}", 1, "swatches"


def _pin(field: str) -> Callable[[Reask, Wish], Says]:
    def says(fix: Reask, wish: Wish) -> Says:
        now, pin = getattr(fix.wish.pins, field), getattr(wish.pins, field)
        match field:
            case "loom":
                return f"use the {now}, not the {pin}", 1, "looms"
            case "yarn":
                return f"use {now}, not {pin}", 1, "yarns"
            case "pegs":
                return f"use {count(now, 'peg')}, not {pin}", abs(now - pin), "pegs"
            case "spacers":
                return f"set {spacers(now)}, not {pin or 'none'}", abs(now - pin), "spacers"
            case _:
                return f"hold {count(now, 'strand')}, not {pin}", abs(now - pin), "strands"

    return says


STEPS: dict[str, Callable[[Reask, Wish], Says]] = {
    "boards-on-hand": _boards,
    "spacers-on-hand": _spacers,
    "whole-repeats": _rib,
    "gauge-measured": _swatch,
    "yarn-on-hand": _yarn,
    "band-depth": _band,
    "girth-within": _girth,
    "length-within": _length,
    "sure-enough": _sure,
    **{f"pin-{field}": _pin(field) for field in ("loom", "yarn", "pegs", "spacers", "strands")},
}

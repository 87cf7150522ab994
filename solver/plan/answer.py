"""From a kit and a wish to a report: ask, search, notes and cautions; every command builds on it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from catalog.caution import Worked, all_cautions, caution_list, sourced
from catalog.figure import figure
from catalog.item import item, item_names
from catalog.kit import Kit
from catalog.units import half_up, length_text
from solver.asking.ask_of import ask_of
from solver.asking.girth import girth_of
from solver.asking.wish import DEFAULT_TOP, Wish
from solver.gauging.chance import sds_either_side
from solver.model.ask import Ask
from solver.plan.in_plain import ask_plan, option_plan
from solver.plan.such_bodies import body_notes
from solver.report.find import FindReport, OptionPlan
from solver.search.best_first import Found, find
from solver.search.option import Option
from solver.terms import BASIS


@dataclass(frozen=True, slots=True)
class Answer:
    """The kit, the ask, what the search found, and its report."""

    kit: Kit

    ask: Ask
    found: Found
    report: FindReport


def answer(
    kit: Kit, wish: Wish, top: int = DEFAULT_TOP, *, all_pegs: bool = False, seconds: float | None = None
) -> Answer:
    """The ranked setups of a wish over a kit. Raises InputError for bad input; never for "no setup"."""
    ask = ask_of(kit, wish)
    found = find(ask, top, all_pegs=all_pegs, seconds=seconds)
    notes = [
        *ask.notes,
        *_option_notes(found, wish.unit),
        *body_notes(wish, found.options),
        *jam_notes(found.options),
        *_time_notes(ask, found),
    ]
    options = [option_plan(o, rank) for rank, o in enumerate(found.options, 1)]
    report = FindReport(
        ask=ask_plan(ask),
        options=options,
        complete=found.complete,
        cautions=cautions(kit, wish, ask, options),
        notes=notes,
    )
    return Answer(kit, ask, found, report)


def cautions(kit: Kit, wish: Wish, ask: Ask, used: Sequence[OptionPlan] = (), *, classroom: bool = False) -> list[str]:
    """The cautions that apply to the item, its kinds of section and its wearer, each with its source.

    Of `used`, the options shown, come yarns and pegs. `classroom`: several people make it together.

    Of a recipe of one's own, which no caution can name, those of every item for the same part of the body.
    """
    recipe = item(wish.item, wish.recipes)
    girth = girth_of(kit, recipe, wish)
    head = (girth.body_um or girth.around_um) if recipe.body == "head" else None
    kinds = {s.kind for p in ask.pieces for s in p.sections}
    worked = Worked(_yarn_words(kit, used), max((p.pegs for o in used for p in o.pieces), default=0), classroom)
    known = item_names()
    names = [wish.item] if wish.item in known else [n for n in known if item(n).body == recipe.body]
    found = {
        c
        for name in names
        for c in caution_list(
            item=name, kinds=kinds, age_months=girth.months, head_um=head, adult=girth.adult, worked=worked
        )
    }
    return [sourced(c) for c in all_cautions() if c in found]


def _yarn_words(kit: Kit, used: Sequence[OptionPlan]) -> frozenset[str]:
    """The words of fibre and name of the yarns used, in small letters."""
    names = {option.yarn for option in used}
    told = [f"{yarn.fibre or ''} {yarn.name}" for yarn in kit.yarn if yarn.name in names]
    return frozenset(word for text in told for word in re.findall(r"\w+", text.casefold()))


def _option_notes(found: Found, unit: str) -> list[str]:
    """What to know of the options: estimates by rank with the girth they may miss, and stiff fabric."""
    notes = []
    unsure = [(rank, o) for rank, o in enumerate(found.options, 1) if o.setup.way.basis != "measured"]
    if unsure:
        worst = max(_may_miss(o) for _, o in unsure)
        ranks = _ranks([rank for rank, _ in unsure])
        bases = dict.fromkeys(BASIS[o.setup.way.basis].removeprefix("from ") for _, o in unsure)
        word = f"{'rests' if len(unsure) == 1 else 'rest'} on {' or '.join(bases)}"
        size = "width" if unsure[0][1].setup.pieces[0].ask.flat else "girth"
        notes.append(f"{ranks} {word}: knit a swatch; the {size} may be {length_text(worst, unit)} off")
    stiff = [rank for rank, o in enumerate(found.options, 1) if _stiff(o)]
    if stiff:
        notes.append(f"{_ranks(stiff)} will be stiff: the yarn is thick for so short a loop")
    return notes


def jam_notes(options: Sequence[Option]) -> list[str]:
    """The yarns of these options of which nobody can tell whether their loops jam, and what is missing for it."""
    ways = {w.yarn: w for o in options for p in o.setup.pieces if (w := p.way).pressed_um is None and not w.swatched}
    return [
        f"whether {name} is too thick for its loops is not judged: "
        + (
            "its label gives no length and mass"
            if way.mtex is None
            else "its label names no fibre that the catalogue knows"
        )
        for name, way in sorted(ways.items())
    ]


def _may_miss(option: Option) -> int:
    """Half the likely range of the girth, µm: what four pieces in five keep within."""
    setup = option.setup
    return half_up(sds_either_side(0.8) * setup.way.width_ppm * setup.pieces[0].girth_um / 1_000_000)


def _stiff(option: Option) -> bool:
    way = option.setup.way
    return not way.swatched and way.tightness is not None and way.tightness > figure("stiff_tightness") * way.loop_um


def _ranks(ranks: list[int]) -> str:
    return ("option " if len(ranks) == 1 else "options ") + ", ".join(str(r) for r in ranks)


def _time_notes(ask: Ask, found: Found) -> list[str]:
    """What a search that ran out of time has proven: a score that nothing left out can beat."""
    if found.complete:
        return []
    if found.least_score is None and not found.opened:
        return ["time ran out before every way to work was looked at: nothing is proven"]
    start = f"time ran out after {found.opened} of {found.cells} ways to work: "
    if found.least_score is None:
        return [start + "all were opened, but which of equally good setups comes first is not settled"]
    least = found.least_score / (10_000 * ask.costs.scale) / 1000
    return [start + f"what was left out cannot score below {least:.1f} mm, and the list may lack better options"]

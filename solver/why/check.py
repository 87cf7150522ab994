"""Which looms allow a size: for each yes with its best setup, or no with the reason and the nearest girths in reach."""

import re
from dataclasses import dataclass, replace

from catalog.kit import Kit
from catalog.units import length_text
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Ask
from solver.model.timing import Undecided
from solver.plan.answer import cautions
from solver.plan.in_plain import ask_plan, mm, option_plan
from solver.report.check import CheckReport, LoomCheck
from solver.search.best_first import find
from solver.search.option import Option
from solver.why.either_way import cells_either_way
from solver.why.explain import Diagnosis, diagnose, loom_words, rule_plans
from solver.why.reach import Girths, beyond, girths_in_reach
from solver.why.words.line import Scale, scale_for

COLUMNS, NAME = 62, 16  # of a drawn line of 80: its name, a blank and the bar


@dataclass(frozen=True, slots=True)
class OnLoom:
    """One loom: its best option, if any, and every girth it can make with everything else as asked, in order, µm.

    beyond: where there is none, the nearest that it makes with all that follows from a girth worked out again.
    """

    loom: str
    option: Option | None
    girths: tuple[int, ...]
    beyond: tuple[int, ...] = ()

    @property
    def near(self) -> tuple[int, ...]:
        """The girths that may be told as in reach."""
        return self.girths or self.beyond


def check(kit: Kit, wish: Wish) -> CheckReport:
    """Every loom of the kit, or the pinned one, against one size. Raises InputError."""
    ask = ask_of(kit, wish)
    names = sorted(loom.name for loom in kit.loom if wish.pins.loom in (None, loom.name))
    judged, reach, found = _judged(kit, wish, ask, names)
    wanted = ask.pieces[0].girth_um
    scale = scale_for((g for name in judged for g in reach.get(name, Girths()).every), wanted, COLUMNS)
    looms = []
    for rank, (name, option) in enumerate(judged.items(), 1):
        try:
            each = _on(kit, wish, found, name, option, reach.get(name, Girths()).every)
            looms.append(_loom(each, rank, found, wish, wanted, scale))
        except Undecided:  # a no without its reason is not told
            continue
    late = [name for name in names if name not in {each.loom for each in looms}]
    return CheckReport(
        ask=ask_plan(ask),
        looms=looms,
        scale=scale.ruler(wanted, wish.unit),
        cautions=cautions(kit, wish, ask, [e.option for e in looms if e.option]),
        notes=[*ask.notes, *([f"time ran out before {', '.join(late)} could be judged"] if late else [])],
        complete=not late,
    )


def _judged(
    kit: Kit, wish: Wish, ask: Ask, names: list[str]
) -> tuple[dict[str, Option | None], dict[str, Girths], Diagnosis | None]:
    """Each loom's best option, the girths in reach, and why some loom has none; what the time allows of it."""
    judged: dict[str, Option | None] = {}
    reach: dict[str, Girths] = {}
    try:
        for name in names:
            judged[name] = best_on(ask, name)
        reach = girths_in_reach(cells_either_way(ask))
        return judged, reach, None if all(judged.values()) else diagnose(kit, wish)
    except Undecided:  # a no without its reason is not told
        return {name: option for name, option in judged.items() if option}, reach, None


def _on(
    kit: Kit, wish: Wish, found: Diagnosis | None, name: str, option: Option | None, girths: tuple[int, ...]
) -> OnLoom:
    """One loom as judged; further girths are looked for only where none is in reach."""
    none = option is None and found is not None and not girths
    further = beyond(kit, wish, found.ask, found.cells, name) if none and found else ()
    return OnLoom(name, option, girths, further)


def best_on(ask: Ask, loom: str) -> Option | None:
    """The best option whose main piece is worked on one loom. Raises Undecided where the time ran out before one."""
    if len(ask.pieces) == 1:
        own = replace(ask, ways=tuple(w for w in ask.ways if w.loom.name == loom))
    else:
        own = replace(ask, pins=replace(ask.pins, loom=loom))
    found = find(own, 1)
    if not found.options and not found.complete:
        raise Undecided
    return next(iter(found.options), None)


def _loom(each: OnLoom, rank: int, found: Diagnosis | None, wish: Wish, wanted: int, scale: Scale) -> LoomCheck:
    below = max((g for g in each.near if g <= wanted), default=None)
    above = min((g for g in each.near if g >= wanted), default=None)
    clash, says = [], ""
    if each.option is None and found is not None:
        clash = rule_plans(found, found.on(each.loom)) if each.loom in found.sets_by_loom else []
        says = _no(found, each.loom, below, above, wish.unit)
    return LoomCheck(
        loom=each.loom,
        allows=each.option is not None,
        option=option_plan(each.option, rank) if each.option else None,
        clash=clash,
        says=says,
        nearest_below_mm=None if below is None else mm(below),
        nearest_above_mm=None if above is None else mm(above),
        girths=len(each.girths),
        least_mm=mm(each.girths[0]) if each.girths else None,
        most_mm=mm(each.girths[-1]) if each.girths else None,
        drawn=scale.line(each.girths, wanted),
    )


def _no(found: Diagnosis, loom: str, below: int | None, above: int | None, unit: str) -> str:
    """Why not, and the nearest girths in reach."""
    why = loom_words(found, loom)[1] if loom in found.sets_by_loom else "no yarn has a gauge there"
    ends = [(below, "below"), (above, "above")]
    near = [f"{length_text(g, unit)} {word}" for g, word in ends if g is not None]
    if not near:
        return f"{why}; no other girth was found that would do"
    said = all(re.search(rf"(?<![\d.]){re.escape(each.split()[0])}(?![\d.])", why) for each in near)
    return why if said else f"{why}; in reach {'is' if len(near) == 1 else 'are'} {' and '.join(near)}"


def check_lines(report: CheckReport) -> list[str]:
    """The drawn lines: the ruler and a bar for each loom, 80 columns at most."""
    pad = " " * (NAME + 1)
    return [f"{pad}{report.scale}", *(f"{_name(e.loom)} {e.drawn}" for e in report.looms)]


def _name(name: str) -> str:
    return (name if len(name) <= NAME else name[: NAME - 1] + "…").ljust(NAME)

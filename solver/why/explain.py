"""Why no setup exists and what would let one exist: the clash, one reason for each loom, the repairs, as a report."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from catalog.kit import Kit
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.model.ask import Ask
from solver.model.timing import Undecided
from solver.plan.answer import cautions
from solver.plan.changes import spacers
from solver.plan.in_plain import ask_plan, mm, option_plan
from solver.report.clash import ClashReport, ClashRule, GivePlan, KitChange, LoomReason, RepairPlan
from solver.terms import count
from solver.why.asks import asks_of
from solver.why.conflict import Clash, clash_of
from solver.why.correction_sets import sets_by_loom
from solver.why.either_way import cells_either_way
from solver.why.limits import CellLimits
from solver.why.nearest import pointed
from solver.why.reask import Asked, Reask
from solver.why.stops import Counted, counted
from solver.why.telling import POINTING, in_short, telling
from solver.why.violations import Minimal
from solver.why.words.phrases import Said
from solver.why.words.repairs import Step, repair_words, steps_of
from solver.why.words.sentences import said

LATE = "time ran out before any repair was worked out"
FAR = frozenset({"spacers-on-hand"})


@dataclass(slots=True)
class Diagnosis:
    """An ask without a setup, looked at from all sides: the cells that can be built or are as named, and for each loom
    its minimal sets of breaks. `every`: those beyond too, of more spacers than a bolt takes.
    """

    wish: Wish
    ask: Ask
    cells: list[CellLimits]
    sets_by_loom: dict[str, Minimal]
    every: list[CellLimits]

    @property
    def sets(self) -> Minimal:
        """The minimal sets of breaks over all looms."""
        return Minimal(mask for of_loom in self.sets_by_loom.values() for mask in of_loom)

    @property
    def clash(self) -> Clash:
        """The clash over all looms, of what can be built: what is told."""
        return clash_of(self.cells, self.sets_by_loom.values())

    @property
    def proven(self) -> Clash:
        """The clash with every law that is dropped reaching as far as it may, more spacers than a bolt takes too."""
        return clash_of(self.every, [self.every_set])

    @property
    def every_set(self) -> Minimal:
        """The minimal sets of breaks of all cells, those beyond too."""
        beyond = sets_by_loom([c for c in self.every if not _can_be_set(c, self.wish)])
        return Minimal(mask for of_loom in (self.sets, *beyond.values()) for mask in of_loom)

    def on(self, loom: str | None) -> Clash:
        """The clash of one loom that has ways to work."""
        return clash_of([c for c in self.cells if c.way.loom.name == loom], [self.sets_by_loom[loom or ""]])


def _can_be_set(cell: CellLimits, wish: Wish) -> bool:
    """Whether a bolt takes the spacers of a cell, or they are what the wish names."""
    return cell.way.spacers <= cell.way.loom.spacers_most or cell.way.spacers == wish.pins.spacers


def diagnose(kit: Kit, wish: Wish) -> Diagnosis:
    """The diagnose of a wish over a kit. Spacer settings reach as far as a dropped law may. Raises InputError."""
    ask = replace(ask_of(kit, wish, FAR), dropped=frozenset())
    every = cells_either_way(ask)
    cells = [c for c in every if _can_be_set(c, wish)]
    return Diagnosis(wish, ask, cells, sets_by_loom(cells), every)


def explain(kit: Kit, wish: Wish, ask: Ask) -> ClashReport:
    """Why `find` has no setup for this wish (its Ask beside it), and the least repairs.

    Raises ValueError where a setup exists: there is nothing to explain then.
    """
    found = diagnose(kit, wish)
    if any(0 in of_loom.sets for of_loom in found.sets_by_loom.values()):
        raise ValueError("a setup holds all rules: nothing to explain")
    clash = found.clash
    near = pointed(found.ask, clash, tight=wish.girth_within_um is not None)
    pointed_at = {near.law: [near.cell]} if near.law and near.cell else {}
    told = rule_plans(found, clash, near.counted, pointed_at)
    says, tells = telling(found.ask, wish, clash, near, {each.rule: each.says for each in told})
    late = []
    try:
        looms = _looms(found)
        fixes = Asked.of(kit, wish, found.ask, found.every).repairs(found.sets)
    except Undecided:
        looms, fixes, late = [], [], [LATE]
    return ClashReport(
        ask=ask_plan(ask),
        says=says,
        tells=tells,
        ways=near.counted.ways,
        told=told,
        clash=told if len(found.every) == len(found.cells) else _proven_plans(found),
        nearest=option_plan(near.option, 1) if near.option else None,
        looms=looms,
        repairs=[_repair_plan(fix, wish) for fix in fixes],
        cautions=cautions(kit, wish, ask),
        notes=[*ask.notes, *late],
    )


def loom_words(found: Diagnosis, loom: str) -> tuple[tuple[str, ...], str]:
    """The rules that clash on one loom, and why not there: the wish, and the law that stops it."""
    clash = found.on(loom)
    return clash.rules, _short(found, clash)


def short_words(found: Diagnosis) -> str:
    """Why not, over all looms, or on the loom that is named."""
    named = found.wish.pins.loom
    return _short(found, found.on(named) if named in found.sets_by_loom else found.clash)


def _short(found: Diagnosis, clash: Clash) -> str:
    return in_short(found.wish, clash, pointed(found.ask, clash, POINTING))


def _looms(found: Diagnosis) -> list[LoomReason]:
    """One short reason for each loom that the wish leaves open, where they fail for different reasons."""
    names = [n for n in sorted(found.sets_by_loom) if found.wish.pins.loom in (None, n)]
    each = {name: loom_words(found, name) for name in names}
    if len({rules for rules, _ in each.values()}) < 2:
        return []
    return [LoomReason(loom=name, rules=list(rules), says=says) for name, (rules, says) in each.items()]


def rule_plans(
    found: Diagnosis,
    clash: Clash,
    counts: Counted | None = None,
    among: Mapping[str, Sequence[CellLimits]] = MappingProxyType({}),
) -> list[ClashRule]:
    """The rules of a clash, each with its clause and numbers, and how many ways it stops where these were counted.

    `among`: of some rules the cells to speak of, so that their numbers are those of the one sentence.
    """
    stops = {} if counts is None else {rule: len(cells) for rule, cells in counts.each.items()}
    reasons = {rule: clash.reason(rule, among.get(rule, ())) for rule in clash.rules}
    return [_rule_plan(rule, said(found.wish, reason), stops.get(rule)) for rule, reason in reasons.items()]


def _proven_plans(found: Diagnosis) -> list[ClashRule]:
    """The proven clash, each law with how many of the ways that can be built it stops."""
    proven = found.proven
    return rule_plans(found, proven, counted(found.cells, proven.rules))


def _plain(number: int, unit: str) -> tuple[float, str]:
    return (mm(number), "mm") if unit == "um" else (number, unit)


def _rule_plan(rule: str, each: Said, stops: int | None) -> ClashRule:
    need, unit = _plain(each.need, each.unit)
    have = _plain(each.have, each.unit)[0]
    return ClashRule(rule=rule, says=each.says, need=need, have=have, unit=unit, stops=stops)


def _repair_plan(fix: Reask, wish: Wish) -> RepairPlan:
    steps = steps_of(fix, wish)
    return RepairPlan(
        gives=[_give_plan(step) for step in steps],
        says=repair_words(steps, fix, wish.unit),
        asks=asks_of(fix.wish),
        kit=[
            *(KitChange(table=e.table, name=e.name, key=e.key, was=float(e.was), now=float(e.now)) for e in fix.edits),
            *_swatch_change(fix),
        ],
        another_size=fix.another_size,
        option=option_plan(fix.option, 1),
    )


def _swatch_change(fix: Reask) -> Iterator[KitChange]:
    """More swatches of one setting: how many there were and would be."""
    if fix.swatches:
        way = fix.option.setup.way
        setting = f"{way.loom.name}, {spacers(way.spacers)}, {way.yarn}, {count(way.strands, 'strand')}"
        yield KitChange(table="swatch", name=setting, key="swatches", was=fix.had, now=fix.had + fix.swatches)


def _give_plan(step: Step) -> GivePlan:
    by, unit = _plain(step.by, step.unit)
    return GivePlan(rule=step.rule, says=step.says, by=by, unit=unit)


def text_lines(report: ClashReport, more: bool = False) -> Sequence[str]:
    """The report in lines to print, the very sentences of the JSON; unfolded. `more`: all that clashes, each loom."""
    lines = [report.says, *(_in_full(report) if more else ())]
    if report.repairs:
        lines += ["", "What would help, least first:"]
        lines += [f"  {i}. {each.says}" for i, each in enumerate(report.repairs, 1)]
    elif LATE not in report.notes:
        lines += ["", "No rule that may give helps: another kit or another size is needed."]
    return lines


def _in_full(report: ClashReport) -> list[str]:
    """Every rule of the clash with the ways that it stops, and a reason for each loom.

    A law that stops no way that could be built speaks only of such as could not, and is left to the JSON.
    """
    some = any(each.stops for each in report.told)
    told = [each for each in report.told if each.stops or each.stops is None or not some]
    lines = ["", "What cannot all hold:"] if told else []
    for each in told:
        ways = f", stops {each.stops} of {count(report.ways, 'way')}" if each.stops else ""
        lines.append(f"  {each.rule}{ways}: {each.says}.")
    if report.looms:
        lines += ["", "On each loom:", *(f"  {each.loom}: {each.says}." for each in report.looms)]
    return lines

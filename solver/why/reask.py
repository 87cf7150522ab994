"""Repairs as a person would try them: a changed wish or a changed kit, asked again; what is shown is what comes first.

The least changes come from arithmetic (repair.py). A changed girth changes all that follows from it, so it is looked
for anew (nearest_girth.py). A repair is kept only where asking in its words finds a setup.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from catalog.errors import InputError
from catalog.item import item
from catalog.kit import Kit, Swatch
from catalog.units import half_up
from solver.asking.ask_of import ask_of
from solver.asking.wish import Wish
from solver.asking.words import round_of
from solver.model.ask import Ask, PieceAsk, Way
from solver.model.rule import EngineError
from solver.model.setup import Finished
from solver.plan.in_plain import lengths_asked
from solver.search.best_first import find
from solver.search.option import Option
from solver.why.asks import Edit, edited, rounded
from solver.why.either_way import cells_either_way, settable
from solver.why.limits import CellLimits, cell_limits
from solver.why.nearest_girth import Girths, with_girth
from solver.why.repair import MOST_SHOWN, Repair, able, least_repair
from solver.why.surer import promising, surest_ppm, with_swatches
from solver.why.violations import rules_of, sides_of

GIRTH_RULE, SURE_RULE = "girth-within", "sure-enough"
MOST_PLACES = 5
# (own) what costs a person least first: another choice than she named, a ball to buy, another rib or band, less
# sureness, a swatch to knit, another length; wood and bolts are dear, and with another girth it fits somebody else
COST = {rule: i for i, rules in enumerate((
    ("pin-loom", "pin-yarn", "pin-pegs", "pin-spacers", "pin-strands"), ("yarn-on-hand",),
    ("whole-repeats", "band-depth"), ("sure-enough",), ("gauge-measured",), ("length-within",), ("spacers-on-hand",),
    ("boards-on-hand",), ("girth-within",),
)) for rule in rules}  # fmt: skip
ANOTHER_GIRTH, ANOTHER_LENGTH = Fraction(15, 100), Fraction(25, 100)  # beyond these it is another size


def long_um(piece: PieceAsk) -> int:
    """How long a piece is wanted as one asks for it, µm: of a cushion less than is worked, of a sock with its toe."""
    return half_up(lengths_asked(piece)[0].mm * 1000)


@dataclass(frozen=True, slots=True)
class Reask:
    """A repair: the rules that give, the wish and the kit as they would then be, the ask and its first option."""

    rules: tuple[str, ...]
    wish: Wish
    edits: tuple[Edit, ...]
    ask: Ask
    option: Option
    before: Ask
    swatches: int = 0  # more swatches of the option's setting, which make it as sure as is asked
    had: int = 0  # swatches that there were of it

    @property
    def another_size(self) -> bool:
        """Whether so much changes that it is another size."""
        new, old = self.ask.pieces[0], self.before.pieces[0]
        far = abs(new.girth_um - old.girth_um) > ANOTHER_GIRTH * old.girth_um
        long, was = long_um(new), long_um(old)
        return far or ("length-within" in self.rules and abs(long - was) > ANOTHER_LENGTH * was)

    @property
    def order(self) -> tuple[object, ...]:
        """What costs a person least first; another size after everything else."""
        rules = ("gauge-measured",) if self.swatches else self.rules
        costs = sorted((COST[rule] for rule in rules), reverse=True)
        new, old = self.ask.pieces[0], self.before.pieces[0]
        gives = sum(edit.now - edit.was for edit in self.edits) + self.swatches, abs(new.girth_um - old.girth_um)
        score = Fraction(self.option.score, self.before.costs.scale)
        return self.another_size, len(self.rules), costs, gives, abs(new.length_um - old.length_um), score, self.rules


@dataclass(slots=True)
class Asked:
    """What was asked, without a setup: the kit, the wish, its ask and cells, spacers as far as a bolt takes them."""

    kit: Kit
    wish: Wish
    ask: Ask
    cells: Sequence[CellLimits]
    wide: Ask  # the ask with spacer settings beyond, as the least changes want it
    all_cells: Sequence[CellLimits]

    @staticmethod
    def of(kit: Kit, wish: Wish, ask: Ask, cells: Sequence[CellLimits]) -> "Asked":
        """From an ask and cells whose spacer settings reach beyond what a bolt takes."""
        near = settable(ask)
        keys = {w.key for w in near.ways}
        own = [c for c in cells if c.way.key in keys and not c.sewn_up]  # the main piece is the same either way
        return Asked(kit, wish, near, own, ask, cells)

    def repairs(self, sets: Iterable[int]) -> list[Reask]:
        """The repairs, least asking first: those of the fewest rules, and of more where these are all another size."""
        found: dict[object, Reask] = {}
        for group in able(sets):
            for other in self._girths(group, found):
                found[other.wish] = other
            for breaks in group:
                fix = None if self._girth_alone(found.values(), breaks) else self._worked_out(breaks)
                if fix is not None:
                    found[breaks] = fix
                if rules_of(breaks) == (SURE_RULE,) and (surer := self._with_swatches()) is not None:
                    found["swatches"] = surer
            if any(not fix.another_size for fix in found.values()):
                break
        else:
            for fix in self._any_girth(found.values()):
                found[fix.wish] = fix
        each = {(fix.wish, fix.edits): fix for fix in sorted(found.values(), key=lambda fix: fix.order, reverse=True)}
        return sorted(each.values(), key=lambda fix: fix.order)[:MOST_SHOWN]

    @staticmethod
    def _girth_alone(found: Iterable[Reask], breaks: int) -> bool:
        """Whether another girth alone does what a set of breaks would do with more."""
        return GIRTH_RULE in rules_of(breaks) and any(fix.rules == (GIRTH_RULE,) for fix in found)

    def _girths(self, group: Iterable[int], found: Iterable[object]) -> Iterator[Reask]:
        """Another girth and nothing else, on each side that some set of breaks opens."""
        if found:
            return
        sides = {side for breaks in group for side in sides_of(breaks, "girth-within")}
        for side in sorted(sides):
            fix = self._with_girth(self.kit, self.wish, (), (GIRTH_RULE,), side)
            if fix is not None:
                yield fix

    def _any_girth(self, found: Iterable[Reask]) -> Iterator[Reask]:
        """Another girth on each side where none is found yet: with it other laws may hold that no set of breaks gives.

        Why: a girth that would do need not be one at which all else holds just as the girth that was asked.
        """
        wanted, girths = self.ask.pieces[0].girth_um, [fix.ask.pieces[0].girth_um for fix in found]
        for side, known in (("least", min(girths, default=wanted) < wanted), ("most", max(girths, default=0) > wanted)):
            fix = None if known else self._with_girth(self.kit, self.wish, (), (GIRTH_RULE,), side)
            if fix is not None:
                yield fix

    def _worked_out(self, breaks: int) -> Reask | None:
        """One set of breaks as a changed wish and kit, asked again."""
        if rules_of(breaks) == (SURE_RULE,):
            return self._less_sure()
        draft = least_repair(self.kit, self.wish, self.wide, self.all_cells, breaks)
        changed = None if draft is None else self._changed(draft)
        if changed is None:
            return None
        kit, wish, edits = changed
        rules = rules_of(breaks)
        if GIRTH_RULE not in rules:
            return self._first(kit, wish, edits, rules)
        if not self._takes_long:
            rules = tuple(rule for rule in rules if rule != "length-within")
        each = (self._with_girth(kit, wish, edits, rules, side) for side in sides_of(breaks, GIRTH_RULE))
        return min((fix for fix in each if fix), key=lambda fix: fix.order, default=None)

    def _less_sure(self) -> Reask | None:
        """Content with the surest that is in reach."""
        return self._first(self.kit, replace(self.wish, sure_ppm=None), (), (SURE_RULE,))

    def _with_swatches(self) -> Reask | None:
        """The fewest more swatches of one setting that make it as sure as is asked, if each counts what is expected."""
        for promise in promising(self.kit, self.ask, self.cells):
            kit = with_swatches(self.kit, promise.way, self.wish.stitch, promise.swatches)
            fix = self._first(kit, self.wish, (), (SURE_RULE,))
            if fix is not None and fix.option.setup.way.key == promise.way.key:
                had = sum(_is_of(swatch, promise.way, self.wish.stitch) for swatch in self.kit.swatch)
                return replace(fix, swatches=promise.swatches, had=had)
        return None

    def _with_girth(
        self, kit: Kit, wish: Wish, edits: tuple[Edit, ...], rules: tuple[str, ...], side: str
    ) -> Reask | None:
        """The nearest girth, smaller or larger, of a wish and a kit."""
        if kit is self.kit and {*rules} <= {GIRTH_RULE, "length-within", "band-depth"}:
            girths = Girths(kit, wish, ask_of(kit, wish, like=self.ask), self.cells)
        else:
            ask = ask_of(kit, wish)
            girths = Girths(kit, wish, ask, cell_limits(ask))
        girth = girths.nearest(side == "most")
        return None if girth is None else self._first(kit, with_girth(wish, girth, girths.ask.body_um), edits, rules)

    def _changed(self, draft: Repair) -> tuple[Kit, Wish, tuple[Edit, ...]] | None:
        """The kit and the wish that the least changes make, but for the girth; None where no words ask for them."""
        setup, wish = draft.option.setup, self.wish
        way, main = setup.way, setup.pieces[0]
        now: dict[str, Any] = {
            "loom": way.loom.name,
            "yarn": way.yarn,
            "pegs": main.pegs,
            "spacers": way.spacers,
            "strands": way.strands,
        }
        for rule in draft.rules:
            if rule.startswith("pin-"):
                name = rule.removeprefix("pin-")
                wish = replace(wish, pins=replace(wish.pins, **{name: now[name]}))
            elif rule == "gauge-measured":
                pins = {name: value for name, value in now.items() if name != "pegs"}
                wish = replace(wish, measured_only=False, pins=replace(wish.pins, **pins))
            elif rule == SURE_RULE:
                wish = replace(wish, sure_ppm=None)  # the surest in reach, once the rest is known
            elif rule == "whole-repeats":
                wish = replace(wish, rib=draft.rib)
            elif rule == "band-depth":
                wish = _with_band(wish, setup)
            elif rule == "length-within" and (self._takes_long or GIRTH_RULE not in draft.rules):
                longer = self._with_length(wish, int(main.length_um))
                if longer is None:
                    return None
                wish = longer
        kit, edits = edited(self.kit, bought(draft, self.kit))
        return kit, wish, edits

    @property
    def _takes_long(self) -> bool:
        """Whether a length is asked for; of a ball it follows from the girth."""
        return item(self.wish.item, self.wish.recipes).takes_long

    def _with_length(self, wish: Wish, length_um: int) -> Wish | None:
        """The wish for another length of the main piece; for a wider limit where the length follows from the girth.

        None where it follows and misses by so much that it is another shape: a ball would be an egg.
        """
        main = self.ask.pieces[0]
        miss = abs(length_um - main.length_um)
        if miss <= main.length_tol_um:
            return None  # a lesser piece is too long or too short: nothing that is typed changes that
        if not self._takes_long:
            return None if miss > ANOTHER_LENGTH * main.length_um else replace(wish, length_within_um=miss)
        long_um = wish.long_um or main.length_um
        for _ in range(2):  # what is typed may be less than what is worked, as of a cushion with gathered ends
            try:
                worked = ask_of(self.kit, replace(wish, long_um=long_um), like=self.ask).pieces[0].length_um
            except InputError:
                return None
            long_um += length_um - worked
        return replace(wish, long_um=long_um) if long_um > 0 else None

    def _first(self, kit: Kit, wish: Wish, edits: tuple[Edit, ...], rules: tuple[str, ...]) -> Reask | None:
        """The wish in round numbers, as round as lead to a setup, with the option that then comes first."""
        same = kit is self.kit and _gauged(wish) == _gauged(self.wish)
        last, like = None, self.ask if same else None
        try:
            exact = ask_of(kit, wish, like=like)
        except InputError:
            return None
        for places in range(1, MOST_PLACES + 1):
            typed = _in_round_numbers(wish, self.wish, places)
            if typed == last:
                continue
            last = typed
            try:
                ask = exact if typed == wish else ask_of(kit, typed, like=like)
            except InputError:
                continue
            if typed != wish and _off(ask.pieces[0], exact.pieces[0]):
                continue
            if SURE_RULE in rules and wish.sure_ppm is None:
                sure = surest_ppm(cells_either_way(ask))
                if sure is None:
                    continue
                typed, ask = replace(typed, sure_ppm=sure), replace(ask, sure_ppm=sure)
            option = next(iter(find(ask, 1).options), None)
            if option is not None:
                return Reask(rules, typed, edits, ask, option, self.ask)
        return None


def _off(one: PieceAsk, other: PieceAsk) -> bool:
    """Whether a girth or a length lies further from another than it may miss."""
    girth, length = abs(one.girth_um - other.girth_um), abs(one.length_um - other.length_um)
    return girth > one.girth_tol_um or length > one.length_tol_um


def _gauged(wish: Wish) -> tuple[object, ...]:
    """What of a wish the ways to work and their gauges depend on."""
    return wish.pins.spacers, wish.pins.strands, wish.measured_only, wish.stitch


def _is_of(swatch: Swatch, way: Way, stitch: str) -> bool:
    """Whether a swatch was knitted at the setting of a way."""
    return (swatch.loom, swatch.spacers, swatch.yarn, swatch.strands, swatch.stitch) == (*way.key, stitch)


def _in_round_numbers(wish: Wish, before: Wish, places: int) -> Wish:
    """The lengths of a wish that are not those typed before, with so many decimals."""
    new: dict[str, Any] = {
        name: rounded(value, wish.unit, places)
        for name in ("around_um", "across_um", "wide_um", "ease_um", "long_um", "length_within_um")
        if (value := getattr(wish, name)) is not None and value != getattr(before, name)
    }
    if "across_um" in new:
        new["around_um"] = round_of(new["across_um"])
    if wish.band is not None and wish.band != before.band:
        typed = () if before.band is None else before.band
        low, high = (end if end is None or end in typed else rounded(end, wish.unit, places) for end in wish.band)
        new["band"] = low, high
    return replace(wish, **new)


def _with_band(wish: Wish, setup: Finished) -> Wish:
    """A span of depths that reaches to the band that can be had."""
    piece = next(p for p in setup.pieces if p.ask.band and not p.ask.band.least_um <= p.band_um <= p.ask.band.most_um)
    band, have = piece.ask.band, piece.band_um
    if band is None:
        raise EngineError("a band gives where there is none")
    return replace(wish, band=(min(band.least_um, have), max(band.most_um, have)))


def bought(draft: Repair, kit: Kit) -> dict[tuple[str, str, str], Fraction]:
    """What a repair buys, by table, entry and key: the number that is then on hand."""
    gives, setup = dict(zip(draft.rules, draft.gives, strict=True)), draft.option.setup
    way = setup.way
    found: dict[tuple[str, str, str], Fraction] = {}
    if "yarn-on-hand" in gives:
        own = next(yarn for yarn in kit.yarn if yarn.name == way.yarn)
        found["yarn", way.yarn, "balls"] = Fraction(own.balls or 0) + gives["yarn-on-hand"]
    if "spacers-on-hand" in gives:
        have = way.loom.spacers_on_hand
        found["loom", way.loom.name, "spacers.on_hand"] = Fraction(have + gives["spacers-on-hand"])
    if "boards-on-hand" in gives:
        for piece in setup.pieces:
            loom = piece.way.loom
            for part, boards, counts in (
                ("side_boards", loom.boards, piece.sides),
                ("end_boards", loom.ends, piece.ends),
            ):
                for board, c in zip(boards, counts, strict=True):
                    key = ("loom", loom.name, f"{part}.{board.name}.on_hand")
                    if 2 * c > found.get(key, board.on_hand):
                        found[key] = Fraction(int(2 * c))
    return found

"""A Wish and a kit in; the Wish with the names as the kit spells them out. All names that do not exist at once."""

from collections.abc import Mapping
from dataclasses import replace

from catalog.errors import Fault, unknown_word
from catalog.kit import STITCHES, Kit
from catalog.known import known_as
from solver.asking.read import one_of
from solver.asking.wish import Wish
from solver.asking.words import GAUGES, Reading, pins_of, unknown
from solver.model.ask import Pins

SETTING = ("loom", "yarn", "pegs", "spacers", "strands", "stitch", "gauge")


def named(kit: Kit, wish: Wish) -> Wish:
    """The wish with loom, yarn and wearer as they stand in the kit. Raises InputError with a Fault for each unknown."""
    pins = wish.pins
    told, (loom, yarn, wearer) = _known(kit, {"loom": pins.loom, "yarn": pins.yarn, "wearer": wish.wearer})
    told.done()
    return replace(wish, pins=replace(pins, loom=loom, yarn=yarn), wearer=wearer)


def unknown_names(kit: Kit, words: Mapping[str, object]) -> list[Fault]:
    """A Fault for each name among some words that is not in the kit."""
    names = {each: value for each in ("loom", "yarn", "wearer") if isinstance(value := words.get(each), str)}
    return _known(kit, names)[0].faults


def _known(kit: Kit, names: Mapping[str, object]) -> tuple[Reading, list[str | None]]:
    """Loom, yarn and wearer as the kit spells them, None where not given or not known."""
    told = Reading(names)
    tables = {"loom": kit.loom, "yarn": kit.yarn, "wearer": kit.wearer}

    def known(field: str, value: object) -> str:
        every = [each.name for each in tables[field]]
        found = known_as(str(value), every)
        if found is None:
            raise unknown_word(field, field, str(value), every)
        return found

    return told, [told.take(field, known) for field in tables]


def pinned(kit: Kit, words: Mapping[str, object]) -> tuple[Pins, str | None, bool]:
    """The choices in words about settings alone: the pins, the stitch, whether measured ones only."""
    told = Reading(words)
    told.faults += [unknown(each, SETTING) for each in words if each not in SETTING]
    pins = pins_of(told)
    stitch, gauge = told.take("stitch", one_of(STITCHES)), told.take("gauge", one_of(GAUGES))
    told.done()
    return named(kit, Wish("", pins=pins)).pins, stitch, gauge == "measured"

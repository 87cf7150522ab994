"""A Wish and a kit in; the Wish with the names as the kit spells them out. All names that do not exist at once."""

from collections.abc import Mapping
from dataclasses import replace

from catalog.errors import unknown_word
from catalog.kit import Kit
from catalog.known import known_as
from solver.asking.read import one_of
from solver.asking.wish import Wish
from solver.asking.words import GAUGES, STITCHES, Reading, pins_of, unknown
from solver.model.ask import Pins

SETTING = ("loom", "yarn", "pegs", "spacers", "strands", "stitch", "gauge")


def named(kit: Kit, wish: Wish) -> Wish:
    """The wish with loom, yarn and wearer as they stand in the kit. Raises InputError with a Fault for each unknown."""
    pins, told = wish.pins, Reading({"loom": wish.pins.loom, "yarn": wish.pins.yarn, "wearer": wish.wearer})
    tables = {"loom": kit.loom, "yarn": kit.yarn, "wearer": kit.wearer}

    def known(field: str, value: object) -> str:
        names = [each.name for each in tables[field]]
        found = known_as(str(value), names)
        if found is None:
            raise unknown_word(field, field, str(value), names)
        return found

    pinned = Pins(told.take("loom", known), told.take("yarn", known), pins.pegs, pins.spacers, pins.strands)
    wearer = told.take("wearer", known)
    told.done()
    return replace(wish, pins=pinned, wearer=wearer)


def pinned(kit: Kit, words: Mapping[str, object]) -> tuple[Pins, str | None, bool]:
    """The choices in words about settings alone: the pins, the stitch, whether measured ones only."""
    told = Reading(words)
    told.faults += [unknown(each, SETTING) for each in words if each not in SETTING]
    pins = pins_of(told)
    stitch, gauge = told.take("stitch", one_of(STITCHES)), told.take("gauge", one_of(GAUGES))
    told.done()
    return named(kit, Wish("", pins=pins)).pins, stitch, gauge == "measured"

"""Measures that nobody has: a head of 58.5 in, pegs 9.5 cm apart. Allowed, but asked about: the unit slipped."""

from collections.abc import Iterator
from functools import lru_cache

from catalog.figure import figures, mm_um
from catalog.kit import Kit
from catalog.spelling import unit_spelt
from catalog.units import UnitError, length_um, number

UNITS = {"in": 25_400, "cm": 10_000, "mm": 1_000}


def odd(key: str, um: int, unit: str | None = None) -> str | None:
    """What is odd about a measure in µm, with the unit that was meant where one makes sense of it; None for nothing.

    `key` is the kit's: head, pitch, base_gap …; a key without limits has nothing odd. `unit`: in, cm or mm, where it is
    known how it was written.
    """
    if key not in _keys():
        return None
    least, most = (mm_um(f"plausible_{key}_{end}_mm") for end in ("least", "most"))
    if least <= um <= most:
        return None
    words = f"{key.replace('_', ' ')} of {_both(um)}: {'less' if um < least else 'more'} than any"
    slips = [
        f"was {meant} meant, not {written}?"
        for written, was in UNITS.items()
        for meant, per in UNITS.items()
        if meant != written and unit in (None, written) and least <= um * per // was <= most
    ]
    return f"{words}; {' '.join(slips)}" if slips else words


def odd_text(key: str, text: str) -> str | None:
    """The same of a measure as it was typed; None for a text that is no length (its reader tells)."""
    try:
        return odd(key, length_um(text, most=10**9), unit_spelt(number(text)[1]))
    except UnitError:
        return None


def odd_in(kit: Kit) -> Iterator[str]:
    """Every odd measure of a kit, with whose it is."""
    for table in ("loom", "wearer"):
        for entry in getattr(kit, table):
            for key in sorted(_keys()):
                um = getattr(entry, f"{key}_um", None)
                words = None if um is None else odd(key, um)
                if words:
                    yield f'{table} "{entry.name}": {words}'


@lru_cache(maxsize=1)
def _keys() -> frozenset[str]:
    ends = ("plausible_", "_least_mm")
    names = (name for name in figures() if name.startswith(ends[0]) and name.endswith(ends[1]))
    return frozenset(name.removeprefix(ends[0]).removesuffix(ends[1]) for name in names)


def _both(um: int) -> str:
    return f"{um / 10_000:.1f} cm ({um / 25_400:.1f} in)" if um >= 100_000 else f"{um / 1_000:.1f} mm"

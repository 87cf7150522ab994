"""Every spelling of a unit that people type, and the unit of units.txt it stands for: a list, never an expression.

Read in any case and with or without a full stop at its end: nobody who knits means a megametre by "MM".
"""

from catalog.errors import nearest

LENGTHS = {
    "um": ("um", "µm", "μm", "micron", "microns", "micrometer", "micrometers", "micrometre", "micrometres"),
    "mm": ("mm", "millimeter", "millimeters", "millimetre", "millimetres"),
    "cm": ("cm", "cms", "centimeter", "centimeters", "centimetre", "centimetres"),
    "dm": ("dm", "decimeter", "decimeters", "decimetre", "decimetres"),
    "m": ("m", "meter", "meters", "metre", "metres"),
    "km": ("km", "kilometer", "kilometers", "kilometre", "kilometres"),
    "in": ("in", "ins", "inch", "inches", '"', "″", "”", "“", "''", "’’", "′′"),
    "ft": ("ft", "foot", "feet", "'", "′", "’"),
    "yd": ("yd", "yds", "yard", "yards"),
    "mi": ("mi", "mile", "miles"),
}
MASSES = {
    "mg": ("mg", "milligram", "milligrams"),
    "g": ("g", "gr", "gm", "gms", "gram", "grams", "gramme", "grammes"),
    "kg": ("kg", "kgs", "kilogram", "kilograms"),
    "oz": ("oz", "ounce", "ounces"),
    "lb": ("lb", "lbs", "pound", "pounds"),
}
LINEAR_DENSITIES = {
    "tex": ("tex",),
    "dtex": ("dtex", "decitex"),
    "mtex": ("mtex", "millitex"),
    "ktex": ("ktex", "kilotex"),
    "denier": ("denier", "den"),
    "g/m": ("g/m", "g / m"),
    "g/km": ("g/km", "g / km"),
}
DENSITIES = {
    "g/cm**3": ("g/cm^3", "g/cm3", "g/cm³", "g/cm**3", "g / cm^3", "g / cm³", "g/ccm"),
    "g/ml": ("g/ml", "g / ml"),
    "kg/m**3": ("kg/m^3", "kg/m3", "kg/m³", "kg/m**3", "kg / m^3", "kg / m³"),
}
IMPERIAL = frozenset({"in", "ft", "yd", "mi"})
_KINDS = (LENGTHS, MASSES, LINEAR_DENSITIES, DENSITIES)
_UNIT = {word: unit for kind in _KINDS for unit, words in kind.items() for word in words}


def unit_spelt(text: str) -> str | None:
    """The unit that a spelling stands for, such as "in" for "Inches."; None for what is in no list."""
    return _UNIT.get(text) or _UNIT.get(text.removesuffix(".").rstrip().lower())


def nearest_unit(text: str, offered: tuple[str, ...]) -> str:
    """A hint for a spelling in no list: the nearest of the usual units, or all of them."""
    return nearest(text[:30], offered)

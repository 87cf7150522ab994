"""A gauge and how unsure it is, by itself."""

from typing import NamedTuple


class Spread(NamedTuple):
    width_um: int
    width_ppm: int

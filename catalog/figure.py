"""The numbers of figures.toml: each with its flag and source, read once."""

from fractions import Fraction
from functools import lru_cache

from catalog.reading import read_toml
from catalog.shapes import HERE
from catalog.source import Exact, Sourced


@lru_cache(maxsize=1)
def figures() -> dict[str, Sourced[Exact]]:
    """Every figure by name. A misspelt flag or a missing source is a ValidationError: the catalogue is at fault."""
    return {name: Sourced[Exact].model_validate(entry) for name, entry in read_toml(HERE / "figures.toml").items()}


def figure(name: str) -> Fraction:
    """The value of one figure, exactly as the decimal that was written."""
    return figures()[name].value


@lru_cache(maxsize=256)
def mm_um(name: str) -> int:
    """A figure given in millimetres, as whole µm."""
    return int(figure(name) * 1000)


@lru_cache(maxsize=256)
def inch_um(name: str) -> int:
    """A figure given in inches, as whole µm."""
    return int(figure(name) * 25_400)


@lru_cache(maxsize=256)
def ppm(name: str) -> int:
    """A figure that is a share, as whole millionths."""
    return int(figure(name) * 1_000_000)

"""From an ask in whole numbers to ranked, proven setups, a clash, or undecided.

The public door, for a notebook as for the command: `from solver import find, load_kit, wish`. What it names is
loaded when it is used.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.errors import InputError as InputError
    from solver.door import Undecided as Undecided
    from solver.door import adjust as adjust
    from solver.door import batch as batch
    from solver.door import check as check
    from solver.door import find as find
    from solver.door import gauge as gauge
    from solver.door import load_kit as load_kit
    from solver.door import sheet as sheet
    from solver.door import sizes as sizes
    from solver.door import why_not as why_not
    from solver.door import wish as wish

__all__ = [
    "InputError", "Undecided", "adjust", "batch", "check", "find", "gauge", "load_kit", "sheet", "sizes", "why_not",
    "wish",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """One of the door's names, the first time it is asked for; from then on it stands here."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found = getattr(import_module("solver.door"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})

"""Equal asks as one group: what is planned is how many of a group each line serves, never who."""

from dataclasses import dataclass

from solver.many.line import Line


@dataclass(frozen=True, slots=True)
class Group:
    """So many equal asks of one priority (1 is first), and the lines that may serve them, in their order."""

    size: int
    priority: int
    lines: tuple[Line, ...]


Shares = tuple[tuple[int, ...], ...]  # for each group, how many each of its lines serves


@dataclass(frozen=True, slots=True)
class Stage:
    """What a stage reached: its value and the bound that no plan beats, in whole units; `unit` of them are one.

    `least`: the stage makes its value small. `out_of_time`: the clock stopped it.
    """

    name: str
    value: int
    bound: int
    unit: int
    least: bool = False
    out_of_time: bool = False

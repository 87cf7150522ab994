"""What a page is made of: parts with a title, and in each of them a few kinds of block."""

from dataclasses import dataclass
from typing import TypeAlias

from solver.formats.looms import LoomPicture
from solver.formats.strands import EdgePicture
from solver.formats.tubes import TubePicture


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    text: str


@dataclass(frozen=True, slots=True)
class Facts:
    """What is what, one line each."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Points:
    """Lines of equal weight."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepList:
    """Steps in order, each a few sentences; numbers run on from `first`."""

    steps: tuple[tuple[str, ...], ...]
    first: int = 1


@dataclass(frozen=True, slots=True)
class CheckUp:
    """Something to measure on the way, and the command to type where it comes out otherwise; empty for none."""

    sentences: tuple[str, ...]
    command: str


@dataclass(frozen=True, slots=True)
class Cautions:
    """Sentences that keep somebody from harm."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ticks:
    """Rows `first` … `last` to tick off in tens. `name` tells a tick from those of other pieces and copies."""

    label: str
    name: str
    first: int
    last: int

    @property
    def tens(self) -> tuple[range, ...]:
        """The rows by tens: 1–10, 11–20, … however the section begins and ends."""
        starts = range(self.first - (self.first - 1) % 10, self.last + 1, 10)
        return tuple(range(max(s, self.first), min(s + 9, self.last) + 1) for s in starts)


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing to tick off that is no row: an opening, a check, an end. `name` tells it from those of other copies."""

    label: str
    name: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture and what it shows, also for those who do not see it."""

    picture: LoomPicture | TubePicture | EdgePicture
    caption: str


Block: TypeAlias = Words | Facts | Points | StepList | CheckUp | Cautions | Ticks | Mark | Drawing


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a page. `name` is its anchor."""

    name: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole page."""

    title: str
    summary: str
    parts: tuple[Part, ...]

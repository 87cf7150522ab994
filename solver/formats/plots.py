"""The choice as a picture, as geometry: likely miss against yarn, the front drawn through; and sizes in reach.

Numbers come in whatever unit they are to be read in; drawing units are those of the other pictures, 560 across.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from importlib.util import find_spec
from math import floor, log10
from pathlib import Path

from catalog.errors import Fault, InputError, bad_word

PNG_HINT = 'a name that ends in .svg needs nothing more; for PNG: pip install "pegwright[png]"'
ACROSS, TALL = 560.0, 400.0
LEFT, RIGHT, TOP, FOOT = 64.0, 24.0, 30.0, 62.0
WIDE, HIGH = 10.0, 15.0  # of a figure in a label, and of its line
SPOTS = ((0.0, -1.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.8, -0.8), (-0.8, -0.8), (0.8, 0.8), (-0.8, 0.8))


def plot_kind(path: Path) -> str:
    """The ending of a plot's name, .svg or .png. Raises InputError for any other, and where no PNG can be made."""
    kind = path.suffix.lower()
    if kind not in (".svg", ".png"):
        raise bad_word("plot", str(path), "a name that ends in .svg or .png")
    if kind == ".png" and find_spec("resvg_py") is None:
        says = "found no resvg-py, which draws PNG files"
        raise InputError("", Fault("plot", "a PNG", "an SVG", PNG_HINT, says=says))
    return kind


@dataclass(frozen=True, slots=True)
class Dot:
    """An option: its label, what it takes and misses, whether it is on the front, where it leads, what it says."""

    label: str
    x: float
    y: float
    front: bool
    link: str
    words: str


@dataclass(frozen=True, slots=True)
class Placed:
    """A dot in its place, and where its label stands; a `far` one is led to by a line."""

    dot: Dot
    x: float
    y: float
    label_x: float
    label_y: float
    far: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis: its place and its number."""

    at: float
    text: str


@dataclass(slots=True)
class PlotPicture:
    """Everything that the template draws."""

    width: float = ACROSS
    height: float = TALL
    left: float = LEFT
    right: float = ACROSS - RIGHT
    top: float = TOP
    foot: float = TALL - FOOT
    x_words: str = ""
    y_words: str = ""
    words: str = ""
    x_ticks: list[Tick] = field(default_factory=list)
    y_ticks: list[Tick] = field(default_factory=list)
    dots: list[Placed] = field(default_factory=list)
    front: str = ""

    @property
    def links(self) -> bool:
        """Whether a dot leads somewhere: then it is no single image to those who do not see it."""
        return any(each.dot.link for each in self.dots)


def plot_picture(dots: Sequence[Dot], x_words: str, y_words: str, words: str) -> PlotPicture:
    """The dots with their axes, both from 0 where that leaves room to tell the dots apart."""
    picture = PlotPicture(x_words=x_words, y_words=y_words, words=words)
    x_low, x_high, x_step = span([d.x for d in dots])
    y_low, y_high, y_step = span([d.y for d in dots])

    def x_at(x: float) -> float:
        return round(picture.left + (x - x_low) / (x_high - x_low) * (picture.right - picture.left), 2)

    def y_at(y: float) -> float:
        return round(picture.foot - (y - y_low) / (y_high - y_low) * (picture.foot - picture.top), 2)

    picture.x_ticks = [Tick(x_at(v), text) for v, text in steps(x_low, x_high, x_step)]
    picture.y_ticks = [Tick(y_at(v), text) for v, text in steps(y_low, y_high, y_step)]
    places = [(x_at(d.x), y_at(d.y)) for d in dots]
    picture.dots = list(_labelled(dots, places))
    front = sorted({place for d, place in zip(dots, places, strict=True) if d.front})
    picture.front = "M" + " L".join(f"{x},{y}" for x, y in front) if len(front) > 1 else ""
    return picture


def span(values: Sequence[float]) -> tuple[float, float, float]:
    """Least, most and step of an axis that holds the values, in steps of 1, 2 or 5; from 0 if that costs little."""
    low, high = min(values, default=0.0), max(values, default=1.0)
    high = high if high > 1e-6 else 1.0
    low = 0.0 if low < 0.6 * high else low
    if high - low < 0.2 * high:
        low, high = low - 0.1 * high, high + 0.1 * high
    wide = high - low
    ten = 10.0 ** floor(log10(wide / 4))
    step = next(ten * each for each in (1, 2, 5, 10) if wide / (ten * each) <= 6)
    first = floor(low / step) * step
    last = (floor(high / step) + 1) * step
    return first, last, step


def steps(low: float, high: float, step: float) -> Iterator[tuple[float, str]]:
    """The numbers along an axis, as short as they can be."""
    places = max(0, -floor(log10(step)))
    for i in range(round((high - low) / step) + 1):
        yield low + i * step, f"{low + i * step:.{places}f}"


def _labelled(dots: Sequence[Dot], places: Sequence[tuple[float, float]]) -> Iterator[Placed]:
    """Each label beside its dot, where it touches no dot and no label that stands already."""
    taken = [(x - 8, y - 8, x + 8, y + 8) for x, y in places]
    for dot, (x, y) in zip(dots, places, strict=True):
        half = WIDE * len(dot.label) / 2
        spots = [
            (x + far * right, y + far * down) for far in (18, 28, 40, 56, 76, 100, 130, 170) for right, down in SPOTS
        ]
        boxes = [(mx - half, my - HIGH / 2, mx + half, my + HIGH / 2) for mx, my in spots]
        free = [b for b in boxes if _inside(b) and not any(_touch(b, t) for t in taken)]
        left, top, right, foot = (free or boxes)[0]
        taken.append((left, top, right, foot))
        label_x, label_y = round((left + right) / 2, 2), round((top + foot) / 2, 2)
        yield Placed(dot, x, y, label_x, label_y + 5, abs(label_x - x) + abs(label_y - y) > 20)


Box = tuple[float, float, float, float]


def _inside(box: Box) -> bool:
    return box[0] > LEFT and box[2] < ACROSS - 4 and box[1] > 4 and box[3] < TALL - FOOT


def _touch(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@dataclass(frozen=True, slots=True)
class Strip:
    """One loom's girths: those of measured gauges are drawn tall, those of reckoned ones short."""

    name: str
    measured: tuple[float, ...]
    reckoned: tuple[float, ...]


@dataclass(slots=True)
class StripPicture:
    """Every loom's sizes on one scale, the wanted one and its limits drawn through."""

    width: float = ACROSS
    height: float = 0.0
    left: float = 16.0
    right: float = ACROSS - 16
    wanted: float = 0.0
    limits: tuple[float, float] = (0.0, 0.0)
    wanted_words: str = ""
    axis_words: str = ""
    words: str = ""
    ticks: list[Tick] = field(default_factory=list)
    names: list[tuple[float, str]] = field(default_factory=list)
    lines: list[float] = field(default_factory=list)
    tall: list[str] = field(default_factory=list)
    short: list[str] = field(default_factory=list)


def strip_picture(
    strips: Sequence[Strip], wanted: tuple[float, float, float], wanted_words: str, axis_words: str, words: str
) -> StripPicture:
    """`wanted` is the girth with its least and most; shown are sizes from half of it to half as much again."""
    picture = StripPicture(wanted_words=wanted_words, axis_words=axis_words, words=words)
    girth, least, most = wanted
    low, high, step = 0.5 * girth, 1.5 * girth, span([0.5 * girth, 1.5 * girth])[2]

    def at(value: float) -> float:
        return round(picture.left + (value - low) / (high - low) * (picture.right - picture.left), 2)

    picture.wanted, picture.limits = at(girth), (at(max(least, low)), at(min(most, high)))
    y = 34.0
    for strip in strips:
        picture.names.append((y + 14, strip.name))
        picture.lines.append(y + 46)
        for marks, values, tall in ((picture.tall, strip.measured, 22), (picture.short, strip.reckoned, 11)):
            spots = sorted({at(v) for v in values if low <= v <= high})
            marks += [f"M{x},{y + 46} v-{tall}" for x in spots]
        y += 58
    first, last = -(-low // step) * step, high // step * step
    picture.ticks = [Tick(at(v), text) for v, text in steps(first, last, step)]
    picture.height = y + 48
    return picture

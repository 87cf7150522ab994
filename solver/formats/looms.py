"""The loom from above, as geometry: pegs numbered from the first, boards and joins to scale, what is not in work.

Drawing units: a page shows 560 of them across, more for a long frame, which a narrow page scrolls. Peg 1 stands at the
left of the near side (the lower edge), and work runs to the right, round the far side and back: against the clock.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, cos, degrees, pi, sin

ACROSS = 560.0  # units of a whole picture
EDGE = 46.0  # room for numbers on every side
LEAST_PITCH, MOST_PITCH = 13.0, 22.0
PITCH_PX = 10  # on a screen pegs stand no nearer, or nobody tells them apart
PAST = 1.55  # radii: how far outside a peg the strand is drawn that is woven past it
CLEAR = 6.0  # between a board and the numbers beside it
APART = 34.0  # units between two numbers that must not touch


@dataclass(frozen=True, slots=True)
class LoomShape:
    """What is to be drawn: so many pegs in work, `sides` their K and P, `first_round` those that a drawn start passes.

    A ring has `ring` pegs. Else there are two sides of `boards` (left to right, name and pegs), `along` pegs of each
    between ends of `across` pegs, and at the fixed end one more where `odd`. `to_scale` is False where the distance
    between the sides is not known. `flat` work lies on the near side alone. `begins` is the peg where the yarn does.
    """

    pegs: int
    sides: str
    first_round: tuple[int, ...] = ()
    flat: bool = False
    ring: int = 0
    along: int = 0
    boards: tuple[tuple[str, int], ...] = ()
    across: int = 0
    end: str = ""
    odd: bool = False
    to_scale: bool = True
    begins: int = 1


@dataclass(frozen=True, slots=True)
class PegMark:
    """A peg: its number (0 where it does not work), its place, and how it is drawn; `past` is a strand outside it."""

    number: int
    x: float
    y: float
    purl: bool = False
    past: str = ""


@dataclass(frozen=True, slots=True)
class Plank:
    """A board or rim as a rectangle."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a place; `turned` stands upright along an end. `strong` for the first peg."""

    x: float
    y: float
    text: str
    anchor: str = "middle"
    turned: bool = False
    strong: bool = False


@dataclass(slots=True)
class LoomPicture:
    """Everything that the template draws. `rim` is the circle of a ring (x, y, radius).

    `way` is the line of the arrow of work, `tip` its head: x, y, and how far it is turned in degrees.
    """

    width: float = ACROSS
    height: float = 0.0
    pitch: float = MOST_PITCH
    radius: float = 3.0
    pegs: list[PegMark] = field(default_factory=list)
    planks: list[Plank] = field(default_factory=list)
    joins: list[tuple[float, float, float, float]] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    rim: tuple[float, float, float] | None = None
    way: str = ""
    tip: tuple[float, float, float] = (0.0, 0.0, 0.0)
    words: str = ""

    @property
    def least_px(self) -> int:
        """So many pixels across, and pegs are `PITCH_PX` apart."""
        return ceil(self.width * PITCH_PX / self.pitch)


def loom_picture(shape: LoomShape, words: str) -> LoomPicture:
    """The picture of a loom; `words` say what it shows to those who do not see it."""
    picture = _ring(shape) if shape.ring else _frame(shape)
    picture.words = words
    return picture


def _mark(shape: LoomShape, number: int, x: float, y: float, out: tuple[float, float], radius: float) -> PegMark:
    """The peg of a number, which counts only up to the pegs in work; `out` points away from the middle of the loom."""
    if number > shape.pegs:
        return PegMark(0, round(x, 2), round(y, 2))
    past = _past(x, y, out, PAST * radius) if number in shape.first_round else ""
    return PegMark(number, round(x, 2), round(y, 2), shape.sides[number - 1] == "P", past)


def _past(x: float, y: float, out: tuple[float, float], far: float) -> str:
    """A short arc on the outer side of a peg, a sixth of a turn either way: no ring, for it goes round nothing."""
    c, s = cos(pi / 3), sin(pi / 3)
    (x0, y0), (x1, y1) = ((x + far * (c * out[0] + t * out[1]), y + far * (c * out[1] - t * out[0])) for t in (s, -s))
    return f"M{x0:.2f},{y0:.2f} A{far:.2f},{far:.2f} 0 0 1 {x1:.2f},{y1:.2f}"


def _ring(shape: LoomShape) -> LoomPicture:
    pitch = min(MOST_PITCH, 2 * pi * (ACROSS / 2 - EDGE - 20) / shape.ring)
    ring = max(60.0, shape.ring * pitch / (2 * pi))
    pitch = 2 * pi * ring / shape.ring
    middle, top = ACROSS / 2, ring + EDGE
    picture = LoomPicture(height=2 * top, pitch=pitch, radius=_radius(pitch), rim=(middle, top, ring))

    def at(turn: float, out: float) -> tuple[float, float]:
        return round(middle + out * sin(turn), 2), round(top + out * cos(turn), 2)

    for number in range(1, shape.ring + 1):
        turn = 2 * pi * (number - 1) / shape.ring
        picture.pegs.append(_mark(shape, number, *at(turn, ring), (sin(turn), cos(turn)), picture.radius))
    step = _label_step(pitch)
    for number in _spaced([1, *range(step, shape.pegs + 1, step)], pitch, shape.ring):
        x, y = at(2 * pi * (number - 1) / shape.ring, ring + 30)
        picture.labels.append(Label(x, y + 5, str(number), strong=number == 1))
    inner = ring - max(20.0, 1.6 * pitch)
    (x0, y0), (x1, y1) = at(-0.6, inner), at(0.6, inner)
    picture.way = f"M{x0},{y0} A{inner:.2f},{inner:.2f} 0 0 0 {x1},{y1}"
    picture.tip = (x1, y1, -degrees(0.6)) if shape.begins == 1 else (x0, y0, 180 + degrees(0.6))
    picture.labels.append(Label(middle, top + 5, _way(shape)))
    return picture


def _way(shape: LoomShape) -> str:
    return f"work to and fro, from peg {shape.begins}" if shape.flat else "work this way"


def _frame(shape: LoomShape) -> LoomPicture:
    along, full = shape.along, sum(pegs for _, pegs in shape.boards)
    pitch = min(MOST_PITCH, max(LEAST_PITCH, (ACROSS - 2 * EDGE - 24) / max(full, 1)))
    width = max(ACROSS, full * pitch + 2 * EDGE + 24)
    thick = max(12.0, 0.9 * pitch)
    left = (width - full * pitch) / 2
    between = (shape.across + 1) * pitch if shape.to_scale else max(3 * pitch, 40.0)
    far, near = EDGE, EDGE + max(between, thick + 2)
    picture = LoomPicture(width, near + 94, pitch, _radius(pitch))
    right, beside = left + along * pitch, max(thick / 2, PAST * _radius(pitch)) + CLEAR
    _boards(picture, shape, left, far, near, pitch, thick)
    picture.planks.append(Plank(left - thick, far - thick / 2, thick, near - far + thick))
    inside = thick / 2 if along < full else -thick / 2
    picture.planks.append(Plank(right, far + inside, thick, near - far - 2 * inside))
    places = list(_round(shape, left, right, far, near, pitch, thick))
    outs = {near: (0.0, 1.0), far: (0.0, -1.0)}
    for number, (x, y) in enumerate(places, 1):
        out = outs.get(y, (1.0 if x > left else -1.0, 0.0))
        picture.pegs.append(_mark(shape, number, x, y, out, picture.radius))
    for i in range(along, full):
        x = round(left + (i + 0.5) * pitch, 2)
        picture.pegs += [PegMark(0, x, near), PegMark(0, x, far)]
    picture.labels += _numbers(shape, places, pitch, right, near, far, beside)
    _below(picture, shape, left, near, pitch)
    return picture


def _boards(
    picture: LoomPicture, shape: LoomShape, left: float, far: float, near: float, pitch: float, thick: float
) -> None:
    """Both sides, board by board, with a line where two of them meet."""
    x = left
    for i, (_, pegs) in enumerate(shape.boards):
        for y in (far, near):
            picture.planks.append(Plank(round(x, 2), y - thick / 2, pegs * pitch, thick))
            if i:
                picture.joins.append((round(x, 2), y - thick / 2 - 4, round(x, 2), y + thick / 2 + 4))
        x += pegs * pitch


def _round(
    shape: LoomShape, left: float, right: float, far: float, near: float, pitch: float, thick: float
) -> Iterator[tuple[float, float]]:
    """The places of the pegs in work, from peg 1 on."""
    along = shape.along
    step = (near - far) / (shape.across + 1)
    yield from ((left + (i + 0.5) * pitch, near) for i in range(along))
    yield from ((right + thick / 2, near - (j + 1) * step) for j in range(shape.across))
    yield from ((right - (i + 0.5) * pitch, far) for i in range(along))
    yield from ((left - thick / 2, far + (j + 1) * step) for j in range(shape.across))
    if shape.odd:
        yield left - thick / 2, (near + far) / 2


def _numbers(
    shape: LoomShape,
    places: Sequence[tuple[float, float]],
    pitch: float,
    inside: float,
    near: float,
    far: float,
    beside: float,
) -> Iterator[Label]:
    """The number of the first peg of every side, and of others as room allows."""
    along, across, step = shape.along, shape.across, _label_step(pitch)
    near_last = min(along, shape.pegs)
    runs = [(1, near_last, near + beside + 13)]
    if not shape.flat:
        runs.append((along + across + 1, 2 * along + across, far - beside))
    for start, last, y in runs:
        marks = [start, *range(start + step - start % step, last, step), last]
        for number in _spaced(marks, pitch, None):
            yield Label(places[number - 1][0], y, str(number), strong=number == 1)
    if across and not shape.flat:
        x, y = places[2 * along + across]
        yield Label(inside - 8, min(places[along][1] + 5, near - beside), str(along + 1), "end")
        yield Label(x - 18, y + 5, str(2 * along + across + 1), "end")


def _below(picture: LoomPicture, shape: LoomShape, left: float, near: float, pitch: float) -> None:
    """Under the near side: the names of the boards, and the way of work."""
    x = left
    for name, pegs in shape.boards:
        text = f"{name}, {pegs} pegs" if name else ""
        if text and 7.2 * len(text) > pegs * pitch and len(shape.boards) > 1:
            text = name if 7.2 * len(name) <= pegs * pitch else ""
        if text:
            picture.labels.append(Label(x + pegs * pitch / 2, near + 52, text))
        x += pegs * pitch
    picture.way = f"M{left:.2f},{near + 72:.2f} h56"
    picture.tip = (left + 62, near + 72, 0.0) if shape.begins == 1 else (left - 6, near + 72, 180.0)
    words = _way(shape) if shape.flat else f"{_way(shape)}, from peg {shape.begins}"
    picture.labels.append(Label(left + 72, near + 77, words, "start"))


def _radius(pitch: float) -> float:
    return round(min(7.0, 0.42 * pitch), 2)


def _label_step(pitch: float) -> int:
    """Number every fifth peg where there is room, else every tenth, twentieth, …"""
    return next(step for step in (5, 10, 20, 50, 100, 400) if step * pitch >= APART)


def _spaced(numbers: Sequence[int], pitch: float, ring: int | None) -> list[int]:
    """The numbers whose labels do not touch: first and last kept, and on a ring the first meets the last again."""
    kept = [numbers[0]]
    tail = numbers[-1] if ring is None else numbers[0] + ring
    for number in numbers[1:]:
        clear = (number - kept[-1]) * pitch >= APART and (tail - number) * pitch >= APART
        if number > kept[-1] and (clear or (ring is None and number == tail)):
            kept.append(number)
    if len(kept) == 2 and ring is None and (kept[1] - kept[0]) * pitch < APART:
        kept.pop()
    return kept

"""The finished piece laid flat, as geometry: to scale, with its measures beside it.

The piece hangs from a shut end if it has one, else from its start. Bands are drawn at the width they take at rest.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

ACROSS, TALLEST, WIDEST = 500.0, 300.0, 230.0
LINE = 19.0  # between two notes below each other
TOP = 34.0


@dataclass(frozen=True, slots=True)
class TubePart:
    """A stretch of rows: its length and the width it lies flat, µm; `ribbed` is drawn with ribs."""

    length_um: int
    flat_um: int
    ribbed: bool
    label: str = ""


@dataclass(frozen=True, slots=True)
class TubeMark:
    """Something that lies `at_um` from the start: an opening so long, or a heel that bulges out so far."""

    at_um: int
    size_um: int
    bulges: bool
    label: str


@dataclass(frozen=True, slots=True)
class TubeShape:
    """The parts from the start to the end of work, marks between them, which ends are shut, and the words around.

    A start is `start_gathered` where its loops are drawn together, and then it has folds; a cup is shut without.
    """

    parts: tuple[TubePart, ...]
    marks: tuple[TubeMark, ...]
    start_shut: bool
    end_shut: bool
    start_words: str
    end_words: str
    across_words: str
    long_words: str
    start_gathered: bool = True


@dataclass(frozen=True, slots=True)
class Note:
    """A text at a place."""

    x: float
    y: float
    text: str
    anchor: str = "middle"


@dataclass(slots=True)
class TubePicture:
    """Everything that the template draws: outlines, ribs and folds as paths, brackets as lines, and notes."""

    width: float = ACROSS
    height: float = 0.0
    outlines: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    slits: list[str] = field(default_factory=list)
    brackets: list[str] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    words: str = ""


def tube_picture(shape: TubeShape, words: str) -> TubePicture:
    """The picture of a piece; `words` say what it shows to those who do not see it."""
    flipped = shape.end_shut and not shape.start_shut
    parts = [p for p in (shape.parts[::-1] if flipped else shape.parts) if p.length_um > 0]
    long_um, wide_um = sum(p.length_um for p in parts), max(p.flat_um for p in parts)
    scale = min(TALLEST / long_um, WIDEST / wide_um)
    middle, wide, tall = 40 + WIDEST / 2, wide_um * scale, long_um * scale
    picture = TubePicture(height=TOP + tall + 76, words=words)
    shut = (shape.end_shut, shape.start_shut) if flipped else (shape.start_shut, shape.end_shut)
    gathered = (True, shape.start_gathered) if flipped else (shape.start_gathered, True)
    above, below = (shape.end_words, shape.start_words) if flipped else (shape.start_words, shape.end_words)
    y, notes, beside = TOP, [], middle + wide / 2 + _bulge(shape, scale)
    for i, part in enumerate(parts):
        half, deep = part.flat_um * scale / 2, part.length_um * scale
        ends = (shut[0] and i == 0, shut[1] and i == len(parts) - 1)
        picture.outlines.append(_outline(middle, y, half, deep, *ends))
        folded = (gathered[0] and ends[0], gathered[1] and ends[1])
        picture.lines += _ribs(middle, y, half, deep) if part.ribbed else _folds(middle, y, half, deep, *folded)
        if part.label and len(parts) > 1:
            picture.brackets.append(_upright(beside + 14, y, deep))
            notes.append(Note(beside + 26, y + deep / 2 + 5, part.label, "start"))
        y += deep
    for mark in shape.marks:
        place = TOP + (long_um - mark.at_um if flipped else mark.at_um) * scale
        _mark(picture, mark, middle + wide / 2, place, scale)
        notes.append(Note(beside + 26, place + 5, mark.label, "start"))
    _measures(picture, shape, middle, wide, y)
    picture.notes += [Note(middle, TOP - 12, above), Note(middle, y + 20, below), *_apart(notes)]
    return picture


def _bulge(shape: TubeShape, scale: float) -> float:
    """How far the heels stand out: about half of what their rows measure, for a pouch lies folded."""
    return max((0.5 * m.size_um * scale for m in shape.marks if m.bulges), default=0.0)


def _mark(picture: TubePicture, mark: TubeMark, edge: float, y: float, scale: float) -> None:
    """An opening as a slit at the right edge, a heel as a pouch beside it."""
    size = mark.size_um * scale
    if mark.bulges:
        out, half = 0.5 * size, 0.4 * size
        picture.outlines.append(f"M{edge:.1f},{y - half:.1f} Q{edge + 2 * out:.1f},{y:.1f} {edge:.1f},{y + half:.1f}")
    else:
        picture.slits.append(f"M{edge - size:.1f},{y:.1f} h{size:.1f}")


def _apart(notes: list[Note]) -> Iterator[Note]:
    """The notes at the right side, moved down where two would touch."""
    least = 0.0
    for note in sorted(notes, key=lambda n: n.y):
        y = max(note.y, least)
        least = y + LINE
        yield replace(note, y=y)


def _outline(middle: float, y: float, half: float, deep: float, top_shut: bool, foot_shut: bool) -> str:
    """A stretch of the tube; a shut end is drawn in to a round shoulder."""
    top, foot = (min(0.5 * deep, 0.6 * half) if shut else 0.0 for shut in (top_shut, foot_shut))
    left, right = middle - half, middle + half
    neck = 0.12 * half
    path = f"M{left:.1f},{y + top:.1f} "
    path += f"Q{left:.1f},{y:.1f} {middle - neck:.1f},{y:.1f} H{middle + neck:.1f} " if top_shut else ""
    path += f"Q{right:.1f},{y:.1f} {right:.1f},{y + top:.1f} " if top_shut else f"H{right:.1f} "
    path += f"V{y + deep - foot:.1f} "
    path += f"Q{right:.1f},{y + deep:.1f} {middle + neck:.1f},{y + deep:.1f} H{middle - neck:.1f} " if foot_shut else ""
    path += f"Q{left:.1f},{y + deep:.1f} {left:.1f},{y + deep - foot:.1f} Z" if foot_shut else f"H{left:.1f} Z"
    return path


def _ribs(middle: float, y: float, half: float, deep: float) -> Iterator[str]:
    """Upright lines: the ribs."""
    many = max(4, int(half / 5))
    for i in range(1, many):
        x = middle - half + 2 * half * i / many
        yield f"M{x:.1f},{y:.1f} v{deep:.1f}"


def _folds(middle: float, y: float, half: float, deep: float, top_shut: bool, foot_shut: bool) -> Iterator[str]:
    """Short lines that run out from where an end is gathered."""
    for shut, start, way in ((top_shut, y, 1), (foot_shut, y + deep, -1)):
        for side in (-0.6, -0.3, 0.0, 0.3, 0.6) if shut else ():
            fall = min(0.28 * half, 0.4 * deep) * way
            yield f"M{middle + 0.15 * side * half:.1f},{start + 0.2 * fall:.1f} l{0.5 * side * half:.1f},{fall:.1f}"


def _upright(x: float, y: float, deep: float) -> str:
    return f"M{x - 4:.1f},{y + 1:.1f} h4 v{deep - 2:.1f} h-4"


def _measures(picture: TubePicture, shape: TubeShape, middle: float, wide: float, foot: float) -> None:
    """The length down the left side, the width below."""
    left, right = middle - wide / 2, middle + wide / 2
    picture.brackets.append(f"M{left - 8:.1f},{TOP + 1:.1f} h-4 v{foot - TOP - 2:.1f} h4")
    picture.brackets.append(f"M{left:.1f},{foot + 32:.1f} v4 h{right - left:.1f} v-4")
    picture.notes.append(Note(middle, foot + 54, shape.across_words))
    picture.notes.append(Note(left - 18, (TOP + foot) / 2, shape.long_words, "turned"))

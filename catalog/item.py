"""Items and kinds of section: recipes in data, read from items/*.toml and kinds/*.toml."""

import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

from catalog.body import Measure as BodyMeasure
from catalog.body import age_months
from catalog.errors import InputError, Problem, nearest, printable, shown, unknown_word
from catalog.known import folded, known_as
from catalog.reading import read_text, read_toml, tables_of
from catalog.shapes import HERE, Body, Fit, Name, Part, Shape, Text, Whole, load
from catalog.source import Exact, Sourced
from catalog.tomlline import line_in
from catalog.units import half_up, share

Own = Literal[
    "around",  # the finished girth wanted
    "body",  # the body girth it comes from, or the finished one under --around
    "long",  # the length asked for, or the item's own
    "wide",  # the width of something flat
    "band",  # the depth that its band should have
    "diameter",  # the finished girth over pi
    "mm",  # one millimetre, for what is so long whoever wears it
]
BindOff = Literal["sewn", "passed-over"]  # how loops are bound off
BIND_OFFS: tuple[str, ...] = get_args(BindOff)
Measure = Own | BodyMeasure  # what an item is made to: what the ask says, or a measure of the wearer


def _share(value: Any) -> Any:
    """A plain number is geometry and stays whole or half; any other share is somebody's number and says whose."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        exact = Fraction(str(value))
        if exact not in (1, -1, Fraction(1, 2), Fraction(-1, 2)):
            hint = f'{{ value = {value}, flag = "own", source = "…" }}'
            raise PydanticCustomError(
                "share", "expected 1, 0.5, -1 or -0.5, or a share with its flag and source", {"hint": hint}
            )
        return {"value": exact, "flag": "own", "source": "geometry"}
    return value


def _measures(form: Any) -> Any:
    names = [*get_args(Own), *get_args(BodyMeasure)]
    for name in form if isinstance(form, dict) else ():
        if name not in names:
            hint = {"hint": nearest(name, names)}
            raise PydanticCustomError(
                "measure", "found measure {name}, which does not exist", {"name": shown(name), **hint}
            )
    return form


Share = Annotated[Sourced[Exact], BeforeValidator(_share)]


def _age(value: Any) -> Any:
    """An age in months, such as "24 months"."""
    try:
        return age_months(value) if isinstance(value, str) else value
    except InputError:
        raise PydanticCustomError("age", 'expected an age with its unit, such as "24 months"') from None


Age = Annotated[Fraction, BeforeValidator(_age)]
# A length as shares of measures: {"around": 1/2}.
Linear = Annotated[dict[Measure, Share], BeforeValidator(_measures), Field(min_length=1)]


@dataclass(frozen=True, slots=True)
class EdgeYarn:
    """What an end takes beyond its loops: for each peg millionths of a loop and so many pitches, and `extra_um`.

    Sewn with a cut end it also takes `rounds` times the greatest of what must pass, the way round the pegs, and so many
    millionths of the finished girth.
    """

    loops_ppm: int = 0
    pitches: int = 0
    extra_um: int = 0
    rounds: int = 0
    girths_ppm: int = 0

    def per_peg_um(self, loop_um: int, pitch_um: int) -> int:
        """The yarn for one peg, µm, rounded half up: of loops so long, on pegs so far apart."""
        return share(loop_um, self.loops_ppm) + self.pitches * pitch_um

    def rounds_um(self, pegs: int, pitch_um: int, width_um: int, must_pass_um: int) -> int:
        """The yarn of its rounds, µm: over pegs so far apart, of stitches so wide; 0 where it is not sewn."""
        return self.rounds * max(must_pass_um, pegs * pitch_um, share(pegs * width_um, self.girths_ppm))


class Kind(Shape):
    """One kind of section and its arithmetic.

    role: start, rows, opening (pegs set aside, to be picked up later) or end. pattern: K and P along the pegs, its
    length the repeat. set_up_rows: loops laid on every peg before the first row; half_set_up: on half the pegs only.
    short: short rows over half the pegs, down to about a third and back. picks_up: begins on the two edges of an
    opening. even: the pegs must pair. loops, pitches and extra: what a start or an end takes beyond its rows, for each
    peg loops of yarn and the distance to the next, and a length besides; rounds and girths: see EdgeYarn. edge: how an
    end is bound off, and stretch, to how many times the relaxed girth; without it as far as the fabric.
    """

    name: Name = ""
    title: Text
    role: Literal["start", "rows", "opening", "end"]
    words: Text
    rib: str | None = None
    pattern: Annotated[str, Field(pattern="^[KP]+$")] = "K"
    set_up_rows: Annotated[Whole, Field(ge=0, le=2)] = 0
    half_set_up: bool = False
    short: bool = False
    gathers: bool = False
    picks_up: bool = False
    even: bool = False
    loops: Sourced[Exact] | None = None
    pitches: Sourced[Whole] | None = None
    extra: Sourced[Part] | None = None
    rounds: Sourced[Whole] | None = None
    girths: Sourced[Exact] | None = None
    edge: BindOff | None = None
    stretch: Sourced[Exact] | None = None

    @property
    def edge_yarn(self) -> EdgeYarn:
        """The yarn of an end beyond its loops; nothing for any other section."""
        return EdgeYarn(
            half_up(1_000_000 * self.loops.value) if self.loops else 0,
            self.pitches.value if self.pitches else 0,
            self.extra.value if self.extra else 0,
            self.rounds.value if self.rounds else 0,
            half_up(1_000_000 * self.girths.value) if self.girths else 0,
        )


class Section(Shape):
    """A section of a piece: its kind and where its rows come from.

    kind "rib" stands for the rib that the ask names (or for plain, where the item's rib may be left out), "bind-off"
    for the edge that it names, else sewn where something must pass, else passed over. rows: "rest" is what is left of
    the length, "band" the band's; `reach` gives the rows by a length instead. An opening `opens` the piece that is
    picked up from it.
    """

    kind: Name
    rows: Literal["rest", "band"] | None = None
    reach: Linear | None = None
    opens: Name | None = None


class When(Shape):
    """For whom a piece belongs to the item: finished girths from `from`, under `under`, ages likewise.

    An age that nobody gave is that of somebody grown.
    """

    from_um: Body = Field(default=0, alias="from")
    under_um: Body | None = Field(default=None, alias="under")
    from_age: Age = Fraction(0)
    under_age: Age | None = None

    def holds(self, around_um: int, months: Fraction | None) -> bool:
        """Whether an item of that finished girth, for somebody of that age, has the piece."""
        right_girth = self.from_um <= around_um and (self.under_um is None or around_um < self.under_um)
        if months is None:
            return right_girth and self.under_age is None
        return right_girth and self.from_age <= months and (self.under_age is None or months < self.under_age)


Worked = Literal["worked", "reach", "band", "around", "diameter"]


class Named(Shape):
    """A length of the finished piece by its name: shares of what is worked.

    worked: all its rows; reach: the first rows that a length of their own gives; band; around and diameter: its girth.
    """

    name: Name
    of: Annotated[dict[Worked, Share], Field(min_length=1)]


class SewnTo(Shape):
    """The piece that another is sewn to, and where on it: words that follow "its drawn hole against"."""

    piece: Name
    where: Text


class Piece(Shape):
    """One piece of an item: its copies, its wanted girth and length, its sections in the order they are worked.

    must_pass: the measure that has to go through it. girth_within, length_within: the shares by which a small piece may
    miss, where the usual limits leave it no whole pegs or rows. edge: edge stitches of something flat, beside repeats.
    lengths: what is said of how long it is, the whole first, where that is not its rows alone. flat_instead: where no
    setting of the same yarn holds it in the round, it is worked flat where the main piece is, and sewn up. sewn_to: it
    is closed all round, and sewn to a piece made before with the yarn that draws it shut.
    """

    name: Name
    copies: Annotated[Whole, Field(ge=1, le=20)] = 1
    when: When | None = None
    girth: Linear
    length: Linear
    bulk_limit: Sourced[Part] | None = None
    must_pass: Linear | None = None
    girth_within: Sourced[Exact] | None = None
    length_within: Sourced[Exact] | None = None
    flat: bool = False
    edge: Sourced[Whole] | None = None
    lengths: tuple[Named, ...] = ()
    flat_instead: bool = False
    sewn_to: SewnTo | None = None
    sections: Annotated[tuple[Section, ...], Field(min_length=1)]

    @property
    def forms(self) -> Iterator[Linear]:
        """Every length that the piece is made to."""
        yield self.girth
        yield self.length
        if self.must_pass:
            yield self.must_pass
        yield from (s.reach for s in self.sections if s.reach)


class Depth(Shape):
    """The length where none is asked: a share of the body girth, a plain length, or `of` measures."""

    share: Sourced[Exact] | None = None
    plain: Sourced[Body] | None = None
    of: Linear | None = None


class Cuff(Shape):
    """Depths of the band by who wears it; where the age is not known, who is under `child_under` round is a child."""

    child_under: Sourced[Body]
    child_least: Sourced[Part]
    child_most: Sourced[Part]
    grown_least: Sourced[Part]
    grown_most: Sourced[Part]


class Item(Shape):
    """A recipe: which body girth, which eases, which pieces.

    least: the wanted girth is raised to each of these, and may not be under it, where it comes from a body.
    from_age: it is for nobody who is known to be younger; the source says why.
    wears_ease: a wearer's ease that is one length, not a table, is meant for it: it sits on the head.
    rib_optional: without --rib the rib sections are worked plain. cuff: the band's depth by age, else what is usual.
    """

    name: Name = ""
    title: Text
    body: Literal["head", "hand", "foot"] | None = None
    wears_ease: bool = False
    rib: str | None = None
    rib_optional: bool = False
    default_fit: Fit = "close"
    fits: dict[Fit, Sourced[Exact]] = Field(default_factory=dict)
    least: tuple[Linear, ...] = ()
    from_age: Sourced[Age] | None = None
    long: Depth | None = None
    cuff: Cuff | None = None
    piece: Annotated[tuple[Piece, ...], Field(min_length=1)]

    @property
    def takes_long(self) -> bool:
        """Whether a length can be asked for: that of a ball follows from its girth."""
        return any("long" in form for p in self.piece for form in p.forms)

    @property
    def flat(self) -> bool:
        """Whether it is worked to and fro, so that its girth is a width."""
        return self.piece[0].flat


@lru_cache(maxsize=1)
def kinds() -> dict[str, Kind]:
    """Every kind of section by name."""
    return {
        p.stem: Kind.model_validate({**read_toml(p), "name": p.stem}) for p in sorted((HERE / "kinds").glob("*.toml"))
    }


def item_files(folder: Path | None = None) -> dict[str, Path]:
    """The file of every item by name, in order: the catalogue's and those of a folder of one's own.

    A recipe of one's own may not bear a name of the catalogue, nor two the same name, in whatever case: which of them
    is meant could not be seen on a saved plan. InputError names the file, as soon as that folder is looked into.
    """
    own = {name.removesuffix(".toml"): folder / name for name in _own(folder)} if folder else {}
    taken = {folded(name): "one of the catalogue" for name in _catalogue()}
    for name, path in own.items():
        if other := taken.get(folded(name)):
            hint = f'give the file a name of its own, such as "my-{name.lower()}.toml"'
            raise InputError(str(path), Problem("", f"found a recipe named {printable(name)}, as {other} is", hint))
        taken[folded(name)] = f"{path.name} beside it"
    return dict(sorted({**_catalogue(), **own}.items()))


def _own(folder: Path) -> list[str]:
    """The names of the recipes in a folder, in order; none where it is gone, for a plan may remember it."""
    try:
        return sorted(name for name in os.listdir(folder) if name.endswith(".toml"))
    except (FileNotFoundError, NotADirectoryError):
        return []
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise InputError(str(folder), Problem("", f"the folder of recipes cannot be read: {why}")) from None


@lru_cache(maxsize=1)
def _catalogue() -> dict[str, Path]:
    return {p.stem: p for p in sorted((HERE / "items").glob("*.toml"))}


def item_names(folder: Path | None = None) -> tuple[str, ...]:
    """The names of all items, in order."""
    return tuple(item_files(folder))


def item(name: str, folder: Path | None = None) -> Item:
    """The recipe of one item, its name in any case, from the catalogue or a folder of further ones, as it stands now.

    Raises InputError with the nearest name that exists, or with the file and key that are wrong.
    """
    files = item_files(folder)
    known = name if name in files else known_as(name, files)
    if known is None:
        raise unknown_word("item", "item", name, files)
    return _shipped(known) if known in _catalogue() else _recipe(known, files[known].name, read_text(files[known]))


@lru_cache(maxsize=64)
def _shipped(name: str) -> Item:
    """A recipe of the catalogue, which changes only with the program."""
    return _recipe(name, f"{name}.toml", read_text(_catalogue()[name]))


@lru_cache(maxsize=64)
def _recipe(name: str, source: str, text: str) -> Item:
    """The recipe in a text; kept by the text, so that a file that has changed is read anew."""
    recipe = load(Item, {**tables_of(text, source), "name": name}, source, lambda at: line_in(text, at))
    wrong = [Problem(key, words, hint) for key, words, hint in _misfits(recipe)]
    if wrong:
        raise InputError(source, *wrong)
    return recipe


def _misfits(recipe: Item) -> Iterator[tuple[str, str, str]]:
    """What no single key can know: kinds and pieces that do not exist, rows that are missing or given twice."""
    if recipe.body and recipe.default_fit not in recipe.fits:
        yield "fits", f"found no {recipe.default_fit}, expected the ease of the default fit", ""
    names = [p.name for p in recipe.piece]
    for i, piece in enumerate(recipe.piece, 1):
        rest = sum(s.rows == "rest" for s in piece.sections)
        if rest != 1:
            yield f"piece[{i}].sections", f'found {rest} sections with rows = "rest", expected one', ""
        to, before = piece.sewn_to and piece.sewn_to.piece, names[: i - 1]
        if folded(piece.name) in map(folded, before):
            hint = "what is made several times alike is one piece with copies = …"
            yield f"piece[{i}].name", f"found {shown(piece.name)}, expected a name that no piece before it bears", hint
        if to and to not in before:
            yield (
                f"piece[{i}].sewn_to",
                f"found {shown(to)}, expected a piece that stands before it",
                nearest(to, before),
            )
        if to and not all(
            s.kind in kinds() and kinds()[s.kind].gathers for s in (piece.sections[0], piece.sections[-1])
        ):
            yield f"piece[{i}].sewn_to", "found an end that is not drawn shut, expected both to be", ""
        for j, section in enumerate(piece.sections, 1):
            for words, hint in _misfit(recipe, section, names):
                yield f"piece[{i}].sections[{j}]", words, hint


def _misfit(recipe: Item, section: Section, pieces: Iterable[str]) -> Iterator[tuple[str, str]]:
    if section.kind == "rib":
        if not (recipe.rib or recipe.rib_optional):
            yield "found a rib, expected rib = … or rib_optional = true for the item", 'rib = "1x1"'
        kind = kinds()["plain"]
    elif section.kind in kinds():
        kind = kinds()[section.kind]
    else:
        yield f"found kind {shown(section.kind)}, which does not exist", nearest(section.kind, [*kinds(), "rib"])
        return
    given = (section.rows is not None) + (section.reach is not None)
    expected = int(kind.role == "rows" and not kind.short)
    if given != expected:
        yield f"found {given} of rows and reach, expected {expected} for {kind.title}", ""
    if (section.opens is not None) != (kind.role == "opening"):
        yield "found opens on no opening or an opening without it, expected both or neither", ""
    if section.opens is not None and section.opens not in pieces:
        yield f"found piece {shown(section.opens)}, which does not exist", nearest(section.opens, pieces)


def rib_kind(rib: str) -> Kind:
    """The kind that works a rib such as "1x1" or "1 × 1". Raises InputError with the nearest rib."""
    known = {k.rib: k for k in kinds().values() if k.rib}
    spelt = "".join(rib.split()).replace("×", "x").lower()
    if spelt not in known:
        raise unknown_word("rib", "rib", rib, [str(r) for r in known])
    return known[spelt]


def edge_kind(edge: str) -> Kind:
    """The kind of end that binds off so. Raises InputError with the nearest way to bind off."""
    known = {str(k.edge): k for k in kinds().values() if k.edge}
    if edge not in known:
        raise unknown_word("bind_off", "edge", edge, known)
    return known[edge]


def linear_um(form: Mapping[Measure, Sourced[Fraction]], values: Mapping[Measure, int]) -> int:
    """The whole µm of a linear form, rounded half up."""
    return half_up(sum((share.value * values[name] for name, share in form.items()), Fraction(0)))


def sourced() -> list[tuple[str, str, str, str]]:
    """Every number of the recipes and kinds: where it stands, its value (lengths in mm), flag and source."""
    models: list[Item | Kind] = [*(item(name) for name in item_names()), *kinds().values()]
    return [row for model in models for row in _sourced(model.name, model) if row[3] != "geometry"]


def _sourced(where: str, value: Any) -> Iterator[tuple[str, str, str, str]]:
    """The sourced numbers inside a shape, a list or a table, in the order they are written."""
    if isinstance(value, Sourced):
        whole = isinstance(value.value, int) and value.value >= 1000  # a length in µm, not a count
        yield where, f"{float(value.value) / (1000 if whole else 1):g}", value.flag, value.source
    elif isinstance(value, Shape):
        for name in type(value).model_fields:
            yield from _sourced(f"{where} {name}", getattr(value, name))
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _sourced(f"{where} {name}", inner)
    elif isinstance(value, tuple):
        for inner in value:
            yield from _sourced(f"{where} {getattr(inner, 'name', '')}".rstrip(), inner)

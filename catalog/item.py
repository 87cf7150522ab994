"""Items and kinds of section: recipes in data, read from items/*.toml and kinds/*.toml."""

from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import Field

from catalog.errors import unknown_name
from catalog.shapes import HERE, Body, Decimal, Name, Part, Shape, Whole, read_toml
from catalog.source import Exact, Sourced
from catalog.units import half_up

Measure = Literal["around", "body", "long"]
Linear = dict[Measure, Decimal]  # a length as shares of what the ask says: {"around": 1/2}


class Kind(Shape):
    """One kind of section and its arithmetic.

    role: start, rows or end. pattern: K and P along the pegs, its length the repeat. set_up_rows: loops laid on every
    peg before the first row. girths and extra: yarn that an end takes beyond its loops.
    """

    name: Name = ""
    title: str
    role: Literal["start", "rows", "end"]
    words: str
    rib: str | None = None
    pattern: Annotated[str, Field(pattern="^[KP]+$")] = "K"
    set_up_rows: Annotated[Whole, Field(ge=0, le=2)] = 0
    gathers: bool = False
    even: bool = False
    girths: Sourced[Whole] | None = None
    extra: Sourced[Part] | None = None


class Section(Shape):
    """A section of a piece: its kind ("rib" stands for the rib that the ask names) and where its rows come from."""

    kind: Name
    rows: Literal["rest", "band"] | None = None


class Piece(Shape):
    """One piece of an item: its copies, its wanted girth and length, its sections in the order they are worked."""

    name: Name
    copies: Annotated[Whole, Field(ge=1, le=20)] = 1
    girth: Linear
    length: Linear
    bulk_limit: Sourced[Part] | None = None
    sections: Annotated[tuple[Section, ...], Field(min_length=1)]


class Depth(Shape):
    """The length where none is asked: a share of the body girth, or a plain length."""

    share: Sourced[Exact] | None = None
    plain: Sourced[Body] | None = None


class Item(Shape):
    """A recipe: which body girth, which eases, which pieces."""

    name: Name = ""
    title: str
    body: Literal["head", "hand", "foot", "neck"] | None = None
    rib: str | None = None
    default_fit: Literal["true", "close", "snug"] = "close"
    fits: dict[Literal["true", "close", "snug"], Sourced[Exact]] = Field(default_factory=dict)
    long: Depth | None = None
    piece: Annotated[tuple[Piece, ...], Field(min_length=1)]


@lru_cache(maxsize=1)
def kinds() -> dict[str, Kind]:
    """Every kind of section by name."""
    return {
        p.stem: Kind.model_validate({**read_toml(p), "name": p.stem}) for p in sorted((HERE / "kinds").glob("*.toml"))
    }


@lru_cache(maxsize=1)
def item_names() -> tuple[str, ...]:
    """The names of all items, in order."""
    return tuple(sorted(p.stem for p in (HERE / "items").glob("*.toml")))


@lru_cache(maxsize=32)
def item(name: str) -> Item:
    """The recipe of one item. Raises InputError with the nearest name that exists."""
    if name not in item_names():
        raise unknown_name("ITEM", "item", name, item_names())
    tables: dict[str, Any] = read_toml(HERE / "items" / f"{name}.toml")
    return Item.model_validate({**tables, "name": name})


def rib_kind(rib: str) -> Kind:
    """The kind that works a rib such as "1x1". Raises InputError with the nearest rib."""
    known = {k.rib: k for k in kinds().values() if k.rib}
    if rib not in known:
        raise unknown_name("--rib", "rib", rib, [str(r) for r in known])
    return known[rib]


def linear_um(form: Linear, values: dict[str, int]) -> int:
    """The whole µm of a linear form, rounded half up."""
    return half_up(sum((Fraction(share) * values[name] for name, share in form.items()), Fraction(0)))

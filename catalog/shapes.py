"""What every shape read from a file shares: strict keys, lengths in whole micrometres, names one can print."""

import math
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError
from pydantic_core import PydanticCustomError

from catalog import units
from catalog.errors import MOST_TOLD, InputError, Problem, and_more, is_printable, nearest, printable, shown
from catalog.reading import read_toml as read_toml  # still asked of this module by pages

HERE = Path(__file__).parent
M = TypeVar("M", bound=BaseModel)
Fit = Literal["loose", "true", "close", "snug"]  # how a thing sits, from the widest to the tightest
FITS: tuple[str, ...] = get_args(Fit)


class Shape(BaseModel):
    """A frozen record whose unknown keys are errors."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False, arbitrary_types_allowed=True)


def quantity(read: Callable[[Any], int]) -> BeforeValidator:
    """A pydantic reader for a text with a unit; its errors carry the hint of catalog.units."""

    def validate(value: Any) -> int:
        try:
            return read(value)
        except units.UnitError as error:
            raise PydanticCustomError("unit", "{words}", {"words": str(error), "hint": error.hint}) from None

    return BeforeValidator(validate)


def lengths(least: int, most: int, example: str) -> BeforeValidator:
    """A reader of lengths from `least` to `most` µm."""
    return quantity(lambda value: units.length_um(value, least=least, most=most, example=example))


def _name(value: Any) -> Any:
    if not isinstance(value, str) or not value.strip() or len(value) > 60 or not is_printable(value):
        raise PydanticCustomError("name", "expected a name of 1 to 60 printable characters")
    return value


def _text(value: Any) -> Any:
    if not isinstance(value, str) or not value.strip() or len(value) > 2_000 or not is_printable(value):
        raise PydanticCustomError("text", "expected text of 1 to 2000 printable characters")
    return value


def _decimal(value: Any) -> Any:
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    if not plain or value in (math.inf, -math.inf) or value != value:  # nan; isfinite overflows on long whole numbers
        raise PydanticCustomError("number", "expected a plain number")
    return Fraction(str(value)) if abs(value) < 10**30 else Fraction(10**30)  # far past every bound, and printable


def _whole(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, int):
        raise PydanticCustomError("whole", "expected a whole number")
    return value


Name = Annotated[str, BeforeValidator(_name)]
Text = Annotated[str, BeforeValidator(_text)]
Part = Annotated[int, lengths(1, 1_000_000, "9.5 mm")]  # a piece of a loom: up to 1 m
Body = Annotated[int, lengths(10_000, 5_000_000, "54 cm")]  # a girth or length of a body or a piece: 1 cm to 5 m
Long = Annotated[int, lengths(1, units.LONGEST_UM, "200 m")]
Mass = Annotated[int, quantity(units.mass_mg)]
Density = Annotated[int, quantity(units.density_mg_cm3)]
Decimal = Annotated[Fraction, BeforeValidator(_decimal)]
Whole = Annotated[int, BeforeValidator(_whole)]
Pegs = Annotated[Whole, Field(ge=1, le=400)]
Stock = Annotated[Whole, Field(ge=0, le=100_000)]


def load(model: type[M], tables: dict[str, Any], source: str, line_of: Callable[[tuple[Any, ...]], int | None]) -> M:
    """The tables as a `model`, or an InputError with the problems found in them (the first MOST_TOLD)."""
    try:
        return model.model_validate(tables)
    except ValidationError as error:
        wrong = [e for e in error.errors(include_url=False) if not (e["type"] == "too_short" and e["input"])]
        found = [problem(model, tables, dict(e), line_of) for e in wrong[:MOST_TOLD]]
        raise InputError(source, *found, *and_more(len(wrong))) from None


def problem(
    model: type[BaseModel], tables: Any, error: dict[str, Any], line_of: Callable[[tuple[Any, ...]], int | None]
) -> Problem:
    """One pydantic error as a Problem in our words."""
    path, value = _walk(tables, error["loc"])
    key = key_text(path)
    context = error.get("ctx", {})
    kind = error["type"]
    line = line_of(path)
    if kind == "extra_forbidden":
        return Problem(
            key, "found a key that has no meaning here", nearest(str(path[-1]), keys_at(model, error["loc"])), line
        )
    if kind == "missing":
        return Problem(key, "found nothing, expected this key", "", line)
    words = {
        "greater_than_equal": "expected at least {ge}",
        "less_than_equal": "expected at most {le}",
        "greater_than": "expected more than {gt}",
        "less_than": "expected less than {lt}",
        "literal_error": "expected one of {expected}",
        "model_type": "expected a table",
        "dict_type": "expected a table",
        "model_attributes_type": "expected a table",
        "list_type": "expected a list",
        "tuple_type": "expected a list",
        "string_type": "expected text in quotes",
        "bool_type": "expected true or false",
        "bool_parsing": "expected true or false",
        "union_tag_invalid": "expected one of {expected_tags}",
        "union_tag_not_found": "expected a loom with its build",
        "too_short": "expected at least {min_length} entry",
        "too_long": "expected at most {max_length} entries",
    }.get(kind)
    expected = words.format(**context).replace("'", '"') if words else error["msg"].removeprefix("Value error, ")
    if kind == "union_tag_invalid":
        path, value, key = (*path, "build"), context["tag"], f"{key}.build"
        line = line_of(path)
    hint = context.get("hint", "")
    if kind in ("literal_error", "union_tag_invalid") and isinstance(value, str):
        options = str(context.get("expected") or context.get("expected_tags")).replace(" or ", ", ").split(", ")
        hint = nearest(value, [o.strip("'") for o in options])
    if isinstance(value, dict | list):
        return Problem(
            key, expected if expected.startswith("found") else f"found {_kind(value)}, {expected}", hint, line
        )
    return Problem(key, expected if expected.startswith("found") else f"found {shown(value)}, {expected}", hint, line)


def _kind(value: Any) -> str:
    return "a list" if isinstance(value, list) else "a table"


def _walk(tables: Any, loc: tuple[Any, ...]) -> tuple[tuple[Any, ...], Any]:
    """The path as it stands in the file (pydantic's own tags left out) and the value at its end."""
    path: list[Any] = []
    here = tables
    for i, step in enumerate(loc):
        places = here if isinstance(here, dict) else range(len(here)) if isinstance(here, list) else ()
        if step in places:
            here = here[step]
        elif i == len(loc) - 1 and (
            isinstance(step, int) if isinstance(here, list) else isinstance(here, dict) and here.get("build") != step
        ):
            here = None
        else:
            continue
        path.append(step)
    return tuple(path), here


def key_text(path: tuple[Any, ...]) -> str:
    """A path as text: ("loom", 0, "pitch") → "loom[1].pitch", counted from 1 as people do."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{_key(step)}" if text else _key(step)
    return text


def _key(step: Any) -> str:
    """A key as it can be printed on one line: TOML and JSON let any text be one."""
    text = printable(str(step))
    return text if len(text) <= 60 else text[:57] + "…"


def keys_at(model: type[BaseModel], loc: tuple[Any, ...]) -> list[str]:
    """The keys that the shape at `loc` knows."""
    here: Any = model
    for step in loc[:-1]:
        here = _inner(here, step)
    fields = getattr(here, "model_fields", {})
    return [f.alias or name for name, f in fields.items()]


def _inner(here: Any, step: Any) -> Any:
    """The shape behind one step of a path: a field, an entry of a list, a tag of a union."""
    fields = getattr(here, "model_fields", None)
    if fields is not None:
        field = next((f for name, f in fields.items() if step in (f.alias or name, name)), None)
        return getattr(field, "annotation", None)
    choices = [a for a in getattr(here, "__args__", ()) if a not in (type(None), Ellipsis)]
    if isinstance(step, str):
        for choice in choices:
            tag = getattr(choice, "model_fields", {}).get("build")
            if tag is not None and step in getattr(tag.annotation, "__args__", ()):
                return choice
            if hasattr(choice, "model_fields") and any(step in (f.alias, n) for n, f in choice.model_fields.items()):
                return _inner(choice, step)
    inner = choices[0] if choices else None
    while inner is not None and hasattr(inner, "__metadata__"):
        inner = inner.__origin__
    return inner

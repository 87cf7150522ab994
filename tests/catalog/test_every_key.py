"""The example that explains a kit holds every key that a kit may have, and no other."""

import tomllib
from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from catalog.errors import InputError
from catalog.figure import figures
from catalog.kit import Kit, Weights, load_kit
from tests.command import ROOT

PAGE = ROOT / "examples" / "every-key" / "kit.toml"


def keys(shape: type[BaseModel], above: str = "") -> Iterator[str]:
    """Every key of a shape and of the shapes within it, as "loom.spacers.most"."""
    for name, field in shape.model_fields.items():
        path = f"{above}{field.alias or name}"
        yield path
        for inner in shapes(field.annotation):
            yield from keys(inner, f"{path}.")


def shapes(annotation: Any) -> Iterator[type[BaseModel]]:
    """The shapes that a field may hold, through lists, choices and annotations."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from shapes(inner)


def written(table: Any, above: str = "") -> Iterator[str]:
    """The keys of tables as they stand in a file."""
    for each in table if isinstance(table, list) else [table]:
        for key, value in each.items() if isinstance(each, dict) else ():
            yield f"{above}{key}"
            yield from written(value, f"{above}{key}.")


def test_the_page_holds_every_key() -> None:
    """A key that is added to the shapes and not to the page is one that nobody finds."""
    named = set(written(tomllib.loads(PAGE.read_text(encoding="utf-8"))))
    items = {key for key in named if key.startswith("wearer.ease.")}  # by the names of items
    assert named - items == set(keys(Kit))
    assert load_kit(PAGE).loom


def test_the_spreads_of_the_page_are_the_catalogues() -> None:
    """Whoever copies the page changes nothing."""
    kit = load_kit(PAGE)
    own = {f.removeprefix("spread_"): float(v.value) for f, v in figures().items()}
    written_there = {name: float(getattr(kit.spreads, name)) for name in type(kit.spreads).model_fields}
    assert written_there == {name: own[name] for name in written_there}
    assert kit.weights == Weights()


def test_a_key_of_one_letter_more_is_refused(tmp_path: Any) -> None:
    """So that the page cannot hold what is not read."""
    path = tmp_path / "kit.toml"
    path.write_text(PAGE.read_text(encoding="utf-8").replace("ends_anywhere", "ends_anywheres"), encoding="utf-8")
    with pytest.raises(InputError, match="ends_anywheres: found a key that has no meaning here"):
        load_kit(path)

"""Cautions: which sentences of catalog/cautions.toml hold for what is being made, and for whom."""

import tomllib
from collections.abc import Collection
from dataclasses import dataclass, fields
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from catalog.bodyage import age_months as read_age
from catalog.errors import InputError, Problem, nearest

FILE = Path(__file__).parent / "cautions.toml"


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence of warning with its source; it always ends by handing over to local rules and a professional."""

    name: str
    sentence: str
    source: str
    flag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry(Caution):
    """A caution with its conditions; `below` is an age in months, None for everyone."""

    items: frozenset[str]
    kinds: frozenset[str]
    below: Fraction | None
    if_unknown: bool


def caution_list(
    *, item: str, kinds: Collection[str], age_months: Fraction | None, head_um: int | None, adult: bool
) -> tuple[Caution, ...]:
    """The cautions for an item made of these kinds of section, in the order of the file.

    Age in months and head girth in µm, each None where not known. A known age decides; then `adult`; then a head
    under 50 cm counts as a child's and a larger one as grown; with nothing known a caution shows unless its entry
    says otherwise. Sources: beside each sentence.
    """
    small_head_um, entries = _read()

    def young(entry: _Entry) -> bool:
        if entry.below is None:
            return True
        if age_months is not None:
            return age_months < entry.below
        if adult:
            return False
        return entry.if_unknown if head_um is None else head_um < small_head_um

    return tuple(
        Caution(entry.name, entry.sentence, entry.source, entry.flag)
        for entry in entries
        if item in entry.items and (not entry.kinds or entry.kinds & set(kinds)) and young(entry)
    )


def all_cautions() -> tuple[Caution, ...]:
    """Every caution there is, in the order of the file."""
    return tuple(Caution(entry.name, entry.sentence, entry.source, entry.flag) for entry in _read()[1])


@cache
def _read() -> tuple[int, tuple[_Entry, ...]]:
    """The head girth in µm below which an unknown age counts as young, and the entries."""
    data = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return data["small_head_mm"] * 1000, tuple(_entry(row, data["closing"]) for row in data["caution"])


def _entry(row: dict[str, Any], closing: str) -> _Entry:
    known = {field.name for field in fields(_Entry)}
    for key in row:
        if key not in known:
            raise _bad(key, "does not exist", nearest(key, known))
    for key in ("name", "items", "sentence", "source", "flag"):
        if not row.get(key):
            raise _bad(key, f"missing in caution {row.get('name', '')}")
    return _Entry(
        name=row["name"],
        sentence=f"{row['sentence']} {closing}",
        source=row["source"],
        flag=row["flag"],
        items=frozenset(row["items"]),
        kinds=frozenset(row.get("kinds", ())),
        below=read_age(row["below"], f"{FILE.name}: {row['name']}") if "below" in row else None,
        if_unknown=row.get("if_unknown", True),
    )


def _bad(key: str, problem: str, hint: str = "") -> InputError:
    return InputError(FILE.name, Problem(key, problem, hint))

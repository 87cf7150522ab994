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
    """One sentence of warning with its source; it always ends by handing over to local rules and a professional.

    `brief` is the same in a few words, for the line of care.
    """

    name: str
    brief: str
    sentence: str
    source: str
    flag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry(Caution):
    """A caution with its conditions; `below` is an age in months, None for everyone; empty ones do not ask."""

    items: frozenset[str]
    kinds: frozenset[str]
    below: Fraction | None
    if_unknown: bool
    yarns: frozenset[str]
    pegs_from: int
    classroom: bool


@dataclass(frozen=True, slots=True)
class Worked:
    """How it is made, as far as known: the words of the yarns used (fibre and name), most pegs in work, by a class."""

    yarn_words: frozenset[str] = frozenset()
    pegs: int = 0
    classroom: bool = False


def caution_list(
    *,
    item: str,
    kinds: Collection[str],
    age_months: Fraction | None,
    head_um: int | None,
    adult: bool,
    worked: Worked = Worked(),
) -> tuple[Caution, ...]:
    """The cautions for an item made of these kinds of section, in the order of the file.

    Age in months and head girth in µm, each None where not known. A known age decides; then `adult`; then a head
    under 50 cm counts as a child's and a larger one as grown; with nothing known a caution shows unless its entry
    says otherwise. Sources: beside each sentence.
    """
    small_head_um, entries, _ = _read()

    def young(entry: _Entry) -> bool:
        if entry.below is None:
            return True
        if age_months is not None:
            return age_months < entry.below
        if adult:
            return False
        return entry.if_unknown if head_um is None else head_um < small_head_um

    return tuple(
        _plain(entry)
        for entry in entries
        if item in entry.items
        and (not entry.kinds or entry.kinds & set(kinds))
        and young(entry)
        and (not entry.yarns or entry.yarns & worked.yarn_words)
        and worked.pegs >= entry.pegs_from
        and worked.classroom >= entry.classroom
    )


def all_cautions() -> tuple[Caution, ...]:
    """Every caution there is, in the order of the file."""
    return tuple(_plain(entry) for entry in _read()[1])


def sourced(caution: Caution) -> str:
    """The sentence with its source, as reports carry it."""
    return f"{caution.sentence} ({caution.source})"


def care_line(cautions: Collection[str], more: str = "") -> str:
    """One line for the cautions of a report: each in a few words; one that is not the catalogue's stands whole.

    `more` says where the sentences are.
    """
    briefs = {sourced(each): each.brief for each in all_cautions()}
    known = "; ".join(briefs[each] for each in cautions if each in briefs)
    first = f"Care: {known}. {_read()[2]}{f' {more}' if more else ''}" if known else ""
    return " ".join([*([first] if first else []), *(each for each in cautions if each not in briefs)])


def _plain(entry: Caution) -> Caution:
    return Caution(entry.name, entry.brief, entry.sentence, entry.source, entry.flag)


@cache
def _read() -> tuple[int, tuple[_Entry, ...], str]:
    """The head girth in µm below which an unknown age counts as young, the entries, and what ends every sentence."""
    data = tomllib.loads(FILE.read_text(encoding="utf-8"))
    closing = data["closing"]
    return data["small_head_mm"] * 1000, tuple(_entry(row, closing) for row in data["caution"]), closing


def _entry(row: dict[str, Any], closing: str) -> _Entry:
    known = {field.name for field in fields(_Entry)}
    for key in row:
        if key not in known:
            raise _bad(key, "does not exist", nearest(key, known))
    for key in ("name", "brief", "items", "sentence", "source", "flag"):
        if not row.get(key):
            raise _bad(key, f"missing in caution {row.get('name', '')}")
    return _Entry(
        name=row["name"],
        brief=row["brief"],
        sentence=f"{row['sentence']} {closing}",
        source=row["source"],
        flag=row["flag"],
        items=frozenset(row["items"]),
        kinds=frozenset(row.get("kinds", ())),
        below=read_age(row["below"], f"{FILE.name}: {row['name']}") if "below" in row else None,
        if_unknown=row.get("if_unknown", True),
        yarns=frozenset(row.get("yarns", ())),
        pegs_from=row.get("pegs_from", 0),
        classroom=row.get("classroom", False),
    )


def _bad(key: str, problem: str, hint: str = "") -> InputError:
    return InputError(FILE.name, Problem(key, problem, hint))

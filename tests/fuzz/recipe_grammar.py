"""Recipes from a grammar: any pieces of any sections in any order, with girths and lengths of any measures."""

import json
from random import Random
from typing import Any

from catalog.item import kinds
from tests.fuzz import odd
from tests.kits.randomkits import _value

MEASURES = (
    "around",
    "body",
    "long",
    "wide",
    "band",
    "diameter",
    "mm",
    "head",
    "hand",
    "hand_length",
    "foot",
    "foot_length",
    "neck",
    "heel",
)
LIMIT = {"value": "160 mm", "flag": "own", "source": "for a test"}


def _share(draw: Random) -> Any:
    plain = draw.choice((1, 1, 1, 0.5, -1, -0.5))
    value = draw.choice((0.05, 0.6, 1.65, 30, 100, -3, 0, odd.number(draw)))
    return (
        plain
        if draw.randrange(3)
        else {"value": value, "flag": draw.choice(("own", "pub", "mem")), "source": "for a test"}
    )


def _sum(draw: Random, *likely: str) -> dict[str, Any]:
    found = {draw.choice(likely): 1}
    for name in draw.sample(MEASURES, draw.choice((0, 0, 0, 1, 2))):
        found[name] = _share(draw)
    return found


def _sections(draw: Random, names: list[str]) -> list[dict[str, Any]]:
    middle = [{"kind": "plain", "rows": "rest"}]
    for _ in range(draw.randrange(4)):
        one: dict[str, Any] = {"kind": draw.choice(("plain", "opening", "rib", draw.choice(sorted(kinds()))))}
        how = draw.randrange(4)
        if one["kind"] == "plain":
            one |= {"reach": _sum(draw, "long", "around")} if how else {"rows": draw.choice(("rest", "band"))}
        one |= {"opens": draw.choice(names)} if one["kind"] == "opening" else {}
        one |= {"rows": "band"} if one["kind"] == "rib" else {}
        middle.insert(draw.randrange(len(middle) + 1), one)
    start = draw.choice(("drawn-cast-on", "wrapped-cast-on", "picked-up", "short-row-toe"))
    return [{"kind": start}, *middle, {"kind": draw.choice(("bind-off", "gather", "sewn-bind-off"))}]


def _piece(draw: Random, name: str, names: list[str]) -> dict[str, Any]:
    piece: dict[str, Any] = {
        "name": name,
        "girth": _sum(draw, "around", "diameter"),
        "length": _sum(draw, "long", "around"),
    }
    extra: dict[str, Any] = {
        "copies": draw.choice((1, 2, 7)),
        "must_pass": _sum(draw, "head", "hand", "heel"),
        "bulk_limit": LIMIT,
        "flat": True,
        "flat_instead": True,
        "sewn_to": {"piece": draw.choice(("hull", "lid", "")), "where": "its other end"},
        "edge": {"value": 1, "flag": "own", "source": "for a test"},
        "when": draw.choice(
            ({"under": "170 mm"}, {"from": "170 mm"}, {"from_age": "24 months"}, {"under_age": "2 years"})
        ),
        "girth_within": {"value": 0.15, "flag": "own", "source": "for a test"},
        "lengths": [{"name": "long", "of": {"worked": 1}}],
    }
    for key in draw.sample(sorted(extra), draw.choice((0, 1, 1, 2, 3))):
        piece[key] = extra[key]
    return {**piece, "sections": _sections(draw, names)}


def made(draw: Random) -> str:
    """A recipe as the text of its file."""
    names = ["hull", "lid", "lid"][: draw.choice((1, 1, 2, 3))]
    lines = [f"title = {json.dumps(draw.choice(('hulls', 'a hull and its lid')))}"]
    if draw.randrange(3):
        fits = {
            name: {"value": value, "flag": "own"} for name, value in (("true", 0), ("close", -0.05), ("snug", -0.1))
        }
        lines += [
            f"body = {json.dumps(draw.choice(('head', 'hand', 'foot')))}",
            'default_fit = "close"',
            f"fits = {_value(fits)}",
        ]
    if draw.randrange(2):
        lines.append(f"long = {_value({'share': {'value': 0.4, 'flag': 'own', 'source': 'for a test'}})}")
    pieces = [_piece(draw, name, names) for name in names]
    if any(section["kind"] == "rib" for piece in pieces for section in piece["sections"]):
        lines.append(f'rib = "{draw.choice(("1x1", "2x2", "3x1"))}"')
    for piece in pieces:
        lines += ["", "[[piece]]", *(f"{key} = {_value(value)}" for key, value in piece.items())]
    return "\n".join(lines) + "\n"

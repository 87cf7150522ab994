"""A wish in the words of the command, as they would be typed again, and a kit with what was bought for it."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from fractions import Fraction
from typing import Any

from catalog.kit import Board, Frame, Kit
from catalog.units import length_text, length_um
from solver.asking.wish import Wish
from solver.asking.words import round_of
from solver.model.rule import EngineError

PINS = ("loom", "yarn", "pegs", "spacers", "strands")
UNSAID = {"item", "unit", "recipes", "top", "all_pegs", "seconds", "across_um"}


def asks_of(wish: Wish) -> dict[str, str]:
    """Every option that a wish gives, without its dashes, with the text that reads as just that."""
    said: dict[str, str] = {}
    for each in fields(wish):
        value = getattr(wish, each.name)
        if each.name in UNSAID or value is None or value == each.default:
            continue
        if each.name == "around_um" and (across := across_of(wish)) is not None:
            said["across"] = length_word(across, wish.unit)
            continue
        if each.name == "pins":
            said |= {word: str(pin) for word in PINS if (pin := getattr(value, word)) is not None}
        else:
            word, text = _said(each.name, value, wish.unit)
            said[word.replace("_", "-")] = text
    lengths = any(text.endswith((" in", " cm")) for text in said.values())
    return said | ({"units": wish.unit} if wish.unit == "in" and not lengths else {})


def across_of(wish: Wish) -> int | None:
    """The diameter that a girth is typed as, µm; None where it is typed as a girth."""
    return wish.across_um if wish.across_um is not None and round_of(wish.across_um) == wish.around_um else None


def _said(name: str, value: Any, unit: str) -> tuple[str, str]:
    """The word of a field of a wish, and what is typed after it."""
    if name.endswith("_um"):
        return name.removesuffix("_um"), length_word(value, unit)
    match name:
        case "band":
            low, high = value
            first = length_word(low, unit)
            return name, first if high is None else f"{first}..{length_word(high, unit)}"
        case "measured_only":
            return "gauge", "measured"
        case "sure_ppm":
            return "sure", f"{_decimal(Fraction(value, 10_000))}%"
        case "yarn_price" | "risk_weight":
            return name, _decimal(value)
    return name, str(value)


def length_word(um: int, unit: str) -> str:
    """A length with as few decimals as read as just that many µm."""
    each = (length_text(um, unit, places=places) for places in range(6))
    return next((text for text in each if length_um(text, least=-5_000_000) == um), f"{um / 1000:.3f} mm")


def rounded(um: int, unit: str, places: int) -> int:
    """A length as it reads with so many decimals, µm."""
    return length_um(length_text(um, unit, places=places), least=-5_000_000)


def _decimal(number: Fraction) -> str:
    return f"{float(number):.4f}".rstrip("0").rstrip(".")


@dataclass(frozen=True, slots=True)
class Edit:
    """One number of a kit that changes: in which table, of which entry, under which key."""

    table: str
    name: str
    key: str
    was: Fraction
    now: Fraction


def edited(kit: Kit, edits: Mapping[tuple[str, str, str], Fraction]) -> tuple[Kit, tuple[Edit, ...]]:
    """A kit with numbers set by table, entry and key ("balls", "spacers.on_hand", "side_boards.long.on_hand")."""
    done = []
    for (table, name, key), now in sorted(edits.items()):
        entries = getattr(kit, table)
        old = next(entry for entry in entries if entry.name == name)
        new, was = _set(old, key, now)
        done.append(Edit(table, name, key, was, now))
        kit = kit.model_copy(update={table: type(entries)(new if entry is old else entry for entry in entries)})
    return kit, tuple(done)


def _set(entry: object, key: str, now: Fraction) -> tuple[object, Fraction]:
    """An entry with one number set, and what it was."""
    if key == "balls":
        return entry.model_copy(update={"balls": now}), Fraction(entry.balls)  # type: ignore[attr-defined]
    if not isinstance(entry, Frame):
        raise EngineError(f"{key} of {entry!r} is nothing that is bought")
    part, *board = key.split(".")[:-1]
    if part == "spacers" and entry.spacers is not None:
        more = entry.spacers.model_copy(update={"on_hand": int(now)})
        return entry.model_copy(update={part: more}), Fraction(entry.spacers.on_hand)
    boards: tuple[Board, ...] = getattr(entry, part)
    old = next(each for each in boards if each.name == ".".join(board))
    new = old.model_copy(update={"on_hand": int(now)})
    changed = tuple(new if each is old else each for each in boards)
    return entry.model_copy(update={part: changed}), Fraction(old.on_hand)

"""Plans of before: what they lack is filled in as it was when they were made, and said."""

from typing import Any

OLD_EDGE = "this plan was made before an edge could be chosen: it is bound off as it was then, passed over"


def as_it_was_made(found: dict[str, Any]) -> None:
    """Fill in what a plan of before edges could be chosen lacks: its edge is passed over; and say so."""
    option = found.get("option")
    if not isinstance(option, dict):
        return
    pieces = _tables(option.get("pieces"))
    for each in (*pieces, *_tables([found.get("ask")])):
        if "lengths" not in each and "length_mm" in each:
            each["lengths"] = [{"name": "as worked", "mm": each["length_mm"]}]
    if "bind_off" in option:
        return
    for piece in pieces:
        piece.setdefault("must_pass_mm", None)
    ends = [section.get("kind") for piece in pieces[:1] for section in _tables(piece.get("sections"))]
    edge = "passed-over" if "bind-off" in ends else None
    for part in (option, found.get("ask"), found.get("wish")):
        if isinstance(part, dict):
            part.setdefault("bind_off", edge)
    if edge and isinstance(found.get("notes"), list):
        found["notes"].append(OLD_EDGE)


def _tables(found: Any) -> list[dict[str, Any]]:
    """The tables of a list; none where a hand has put something else."""
    return [each for each in found if isinstance(each, dict)] if isinstance(found, list) else []

"""Plans of before: what they lack is filled in as it was when they were made, and said."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.item import Piece
    from solver.plan.saved import SavedPlan
    from solver.report.find import LengthPlan, PiecePlan

OLD_EDGE = "this plan was made before an edge could be chosen: it is bound off as it was then, passed over"


def as_it_was_made(found: dict[str, Any]) -> bool:
    """Fill in what a plan of before edges could be chosen lacks: its edge is passed over; and say so.

    True where its lengths had no names yet: `with_lengths` gives them, once it is known to be a plan.
    """
    option = found.get("option")
    if not isinstance(option, dict):
        return False
    pieces = _tables(option.get("pieces"))
    unnamed = [e for e in (*pieces, *_tables([found.get("ask")])) if "lengths" not in e and "length_mm" in e]
    for each in unnamed:
        each["lengths"] = [{"name": "long", "mm": each["length_mm"]}]
    if "bind_off" not in option:
        _passed_over(found, option, pieces)
    return bool(unnamed)


def _passed_over(found: dict[str, Any], option: dict[str, Any], pieces: list[dict[str, Any]]) -> None:
    for piece in pieces:
        piece.setdefault("must_pass_mm", None)
    ends = [section.get("kind") for piece in pieces[:1] for section in _tables(piece.get("sections"))]
    edge = "passed-over" if "bind-off" in ends else None
    for part in (option, found.get("ask"), found.get("wish")):
        if isinstance(part, dict):
            part.setdefault("bind_off", edge)
    if edge and isinstance(found.get("notes"), list):
        found["notes"].append(OLD_EDGE)


def with_lengths(plan: "SavedPlan") -> "SavedPlan":
    """The plan with its lengths by the names that the recipe has for them: finished and as worked, a foot and a leg.

    How long a foot was asked is not kept in such a plan, so of an ask only what follows from its whole is said.
    """
    from catalog.item import item

    recipes = {each.name: each for each in item(plan.item, plan.wish.recipes).piece}
    pieces = [
        each.model_copy(update={"lengths": list(_made(plan, each, recipes[each.name])) or each.lengths})
        if each.name in recipes
        else each
        for each in plan.option.pieces
    ]
    ask, main = plan.ask, recipes.get(plan.option.pieces[0].name)
    of = {"worked": ask.length_mm, "around": ask.girth_mm} | ({"band": ask.band_mm.prefer} if ask.band_mm else {})
    if main is not None:
        ask = ask.model_copy(update={"lengths": list(_named(main, of)) or ask.lengths})
    return plan.model_copy(update={"ask": ask, "option": plan.option.model_copy(update={"pieces": pieces})})


def _made(plan: "SavedPlan", piece: "PiecePlan", recipe: "Piece") -> "Iterator[LengthPlan]":
    """The lengths of a piece; `reach` is known where its sections are still those of the recipe."""
    of = {"worked": piece.length_mm, "around": piece.girth_mm}
    row_mm = plan.ways[plan.place(piece.name)].gauge.height_um / 1000
    of["band"] = piece.rows_band * row_mm
    if len(piece.sections) == len(recipe.sections):
        both = zip(piece.sections, recipe.sections, strict=True)
        of["reach"] = next((made.rows * row_mm for made, said in both if said.reach), 0.0)
    return _named(recipe, of)


def _named(recipe: "Piece", of: dict[str, float]) -> "Iterator[LengthPlan]":
    """Those of the recipe's lengths that measures in mm give."""
    from catalog.units import half_up
    from solver.model.ask import WHOLE, NamedLength
    from solver.report.find import LengthPlan

    um = {name: half_up(mm * 1000) for name, mm in of.items()}
    told: Iterable[NamedLength] = [
        NamedLength(n.name, tuple((w, s.value) for w, s in n.of.items())) for n in recipe.lengths
    ]
    for each in told or WHOLE:
        if all(name in um or name == "diameter" for name, _ in each.shares):
            yield LengthPlan(name=each.name, mm=each.um(**um) / 1000)


def _tables(found: Any) -> list[dict[str, Any]]:
    """The tables of a list; none where a hand has put something else."""
    return [each for each in found if isinstance(each, dict)] if isinstance(found, list) else []

"""Where a body came from a table and not from a tape: how many of ten such bodies a setup suits."""

from collections.abc import Sequence

from catalog.item import item
from catalog.units import half_up
from solver.asking.wish import Wish
from solver.gauging.chance import chance_of_body
from solver.search.option import Option

MANY = {"head": "heads", "hand": "hands", "foot": "feet", "neck": "necks"}


def of_ten(option: Option) -> int | None:
    """Of ten bodies that the table's girth stands for, how many the main piece suits; None where a tape was used."""
    setup, sd = option.setup, option.setup.ask.body_sd_um
    main = setup.pieces[0]
    if sd is None:
        return None
    return half_up(10 * chance_of_body(setup.way, main.pegs, main.ask.girth_um, main.ask.girth_tol_um, sd))


def body_notes(wish: Wish, options: Sequence[Option], *, ranked: bool = True) -> list[str]:
    """One note on all of the options, by their rank, or on the one there is; none where a tape was used."""
    ranks: dict[int, list[str]] = {}
    for rank, option in enumerate(options, 1):
        if (many := of_ten(option)) is not None:
            ranks.setdefault(many, []).append(str(rank))
    body = item(wish.item, wish.recipes).body
    if not ranks or body is None:
        return []
    each = [
        f"{_who(names) if ranked else 'it suits'} about {many}" for many, names in sorted(ranks.items(), reverse=True)
    ]
    why = f"the {body} and the gauge are both unsure. {MANY[body].capitalize()} differ: measure, if you can"
    return [f"of ten such {MANY[body]} {', '.join(each)}, for {why}"]


def _who(ranks: list[str]) -> str:
    return f"option {ranks[0]} suits" if len(ranks) == 1 else f"options {', '.join(ranks)} suit"

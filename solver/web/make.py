"""The room Make: what, for whom, how it should sit; then the ways to make it, or why not and what would help.

Every ask is an address: Back and bookmarks work. All of it is read by `wish`, and worked out by the public door.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from catalog.body import SIZES
from catalog.errors import InputError, in_plain
from catalog.item import item, item_names, kinds
from catalog.kit import Kit
from catalog.shapes import FITS
from catalog.units import half_up, length_text
from solver.asking.wish import Wish
from solver.door import answer, check, explained, gauge, next_line, plan_of, sizes, wish
from solver.model.timing import Undecided, within
from solver.plan.changes import spacers as spacers_words
from solver.report.clash import ClashReport
from solver.report.find import OptionPlan
from solver.terms import BASIS, Terms, count
from solver.web.house import SECONDS, House
from solver.web.pages import Form, asked, page, place, to
from solver.web.repairs import after, buy, found_repair, shown_repair

if TYPE_CHECKING:
    from solver.plan.answer import Answer

WORDS = (
    "around",
    "across",
    "body",
    "wide",
    "long",
    "wearer",
    "size",
    "age",
    "fit",
    "ease",
    "rib",
    "band",
    "stitch",
    "bind_off",
    "loom",
    "yarn",
    "pegs",
    "spacers",
    "strands",
    "gauge",
    "girth_within",
    "length_within",
    "sure",
    "sex",
    "units",
    "top",
)
FOLDED = ("loom", "yarn", "pegs", "spacers", "strands", "rib", "band", "stitch", "ease", "long", "sure", "gauge")
GIRTHS = {"around": "finished, round", "body": "the body, round", "wide": "wide"}


@dataclass(frozen=True, slots=True)
class Got:
    """What came of an ask: its answer, or why not, or that time ran out."""

    wish: Wish
    answer: "Answer"
    clash: ClashReport | None = None
    near: list[tuple[str, str]] = field(default_factory=list)
    late: str = ""


def make(house: House, request: Request) -> Response:
    """The form, and below it what comes of it as soon as there is something to ask."""
    typed, kit = asked(request), house.kit()
    values: dict[str, Any] = {
        "room": "make",
        "typed": _with_person(typed),
        "kit": kit,
        "wrong": {},
        "first": "",
        "got": None,
        "options": [],
        "plot": None,
        "repairs": [],
        "query": "",
        "items": _items(),
        "sizes": SIZES,
        "fits": FITS,
        "ribs": [("", "as usual"), *((r, r) for r in sorted(k.rib for k in kinds().values() if k.rib))],
        "looms": _any(e.name for e in kit.loom),
        "yarns": _any(e.name for e in kit.yarn),
        "words": {},
        "care": [],
        "notes": [],
        "ask": "",
        "open": any(typed.get(w) for w in FOLDED),
        "said": typed.get("said", ""),
        "next": None,
    }
    if not kit.loom or not kit.yarn or not _something(typed):
        return page("make.html.j2", **values)
    words = words_of(typed)
    try:
        got = house.once("make " + urlencode(sorted(words.items())), lambda: _got(kit, words))
    except InputError as error:
        wrong = at_fields(error)
        first = next((f for f in ("item", "who", *WORDS) if f in wrong), "")
        return page(
            "make.html.j2", 422, **{**values, "wrong": wrong, "first": first, "open": values["open"] or first in FOLDED}
        )
    from solver.page.plot import plot_of

    report = got.answer.report
    house.asked = (urlencode(words), _ask_words(got))
    if "next" in typed and report.options:
        values["next"] = house.once("next " + urlencode(sorted(words.items())), lambda: _next(kit, got.wish))
    values |= {
        "got": got,
        "query": urlencode(words),
        "words": words,
        "ask": _ask_words(got),
        "options": [_option(o, got.wish.unit) for o in report.options],
        "plot": plot_of(report, got.wish.unit, [o.rank for o in report.options]) if len(report.options) > 1 else None,
        "repairs": [shown_repair(r, got.wish.item, words) for r in got.clash.repairs] if got.clash else [],
        "care": report.cautions,
        "notes": got.clash.notes if got.clash else report.notes,
    }
    return page("make.html.j2", **values)


def do_that(house: House, form: Form) -> Response:
    """What a repair says is bought is there now: the kit says so, and the changed ask follows."""
    words = {key: value for key, value in form.items() if key in (*WORDS, "item")}
    kit = house.kit()
    got = house.once("make " + urlencode(sorted(words.items())), lambda: _got(kit, words))
    repair = found_repair(got.clash, form.get("says", ""))
    if repair is None:
        return to("/make?" + urlencode(words))
    buy(house, repair, house.entries())
    return to(after(repair, got.wish.item))


def begin(house: House, form: Form) -> Response:
    """Keep one option as a piece that is begun, and go to the loom."""
    words = {key: value for key, value in form.items() if key in (*WORDS, "item")}
    rank = place(form.get("option", "1")) or 1
    kit = house.kit()
    got = house.once("make " + urlencode(sorted(words.items())), lambda: _got(kit, words))
    if not 1 <= rank <= len(got.answer.report.options):
        return to("/make?" + urlencode(words))
    plan = plan_of(got.answer, got.wish, str(house.kit_path), rank)
    named = form.get("named", "")[:60] or item(plan.item, plan.wish.recipes).title
    return to("/loom/" + house.shelf.begin(plan, urlencode(words), named))


def class_page(house: House, request: Request) -> Response:
    """One item over a run of sizes, as a page for a class."""
    typed, kit = asked(request), house.kit()
    values: dict[str, Any] = {
        "room": "make",
        "typed": typed,
        "kit": kit,
        "items": _items(),
        "fits": FITS,
        "wrong": {},
        "first": "",
        "rows": [],
        "care": [],
        "notes": [],
    }
    if "item" not in typed or not kit.loom or not kit.yarn:
        return page("class.html.j2", **values)
    words = {k: v for k, v in words_of(typed).items() if k in ("item", "fit", "loom", "yarn", "rib")}
    run = typed.get("sizes")
    try:
        report = house.once(f"class {run} {urlencode(sorted(words.items()))}", lambda: _graded(kit, words, run))
    except InputError as error:
        return page("class.html.j2", 422, **{**values, "wrong": at_fields(error)})
    except Undecided:
        return page(
            "class.html.j2", **{**values, "notes": ["Time ran out: hold one loom and one yarn, or fewer sizes."]}
        )
    unit = "in" if run and "in" in run else "cm"
    rows = [(r.size, _option(r.option, unit) if r.option else None, r.says) for r in report.rows]
    return page("class.html.j2", **{**values, "rows": rows, "care": report.cautions, "notes": report.notes})


def at_fields(error: InputError) -> dict[str, list[str]]:
    """Each fault under its field; what is of no field, such as a kit that cannot be read, under ""."""
    found: dict[str, list[str]] = {}
    for fault in error.faults:
        name = "who" if fault.field in ("wearer", "size", "age") else fault.field
        sentences = fault.said(in_plain).split("\n  hint: ")
        found.setdefault(name, []).append(" ".join(f"{each[:1].upper()}{each[1:].rstrip('.')}." for each in sentences))
    if not error.faults:
        found[""] = str(error).splitlines()
    return found


def words_of(typed: Mapping[str, str]) -> dict[str, str]:
    """The words of an ask in what a form sent: one box for persons and sizes, one for the girth, whichever it is of."""
    words = {key: value for key, value in typed.items() if key in (*WORDS, "item")}
    who = typed.get("who", "")
    kind, _, name = who.partition(":")
    if kind in ("wearer", "size", "age") and name:
        words[kind] = name
    size, of = typed.get("girth", ""), typed.get("of", "around")
    if size and of in ("around", "across", "body", "wide"):
        words[of] = size
    return words


def _with_person(typed: Mapping[str, str]) -> dict[str, str]:
    """What the form shows: an ask in the words of the command is put into the boxes of the form."""
    shown = dict(typed)
    for kind in ("wearer", "size"):
        if kind in typed:
            shown["who"] = f"{kind}:{typed[kind]}"
    for of in ("around", "across", "body", "wide"):
        if of in typed:
            shown |= {"girth": typed[of], "of": of}
    return shown


def _something(typed: Mapping[str, str]) -> bool:
    return "item" in typed and any(k in typed for k in ("who", "girth", *WORDS) if k not in ("fit", "units"))


def _got(kit: Kit, words: Mapping[str, str]) -> Got:
    told: dict[str, Any] = {key: value for key, value in words.items() if key != "item"}
    read = wish(words.get("item", ""), kit=kit, **told)
    with within(SECONDS):
        got = answer(kit, read)
        if got.report.options or not got.report.complete:
            return Got(read, got)
        try:
            clash = explained(kit, read, got)
            return Got(read, got, clash, _near(kit, read))
        except Undecided:
            return Got(read, got, late="It is proven that nothing fits. Why, took too long to find out.")


def _next(kit: Kit, read: Wish) -> dict[str, str]:
    """The swatch that would make this ask surest: its sentence, and the form where it is written down."""
    with within(SECONDS):
        best = gauge(kit, read).next_swatch
    if best is None:
        return {"says": "No swatch would make this surer.", "href": ""}
    setting = {key: getattr(best, key) for key in ("loom", "spacers", "yarn", "strands", "stitch")}
    return {"says": next_line(best, read.unit), "href": "/cupboard/swatches/new?" + urlencode(setting)}


def _graded(kit: Kit, words: Mapping[str, str], run: str | None) -> Any:
    told: dict[str, Any] = {key: value for key, value in words.items() if key != "item"}
    if run and "in" in run:
        told["units"] = "in"
    with within(SECONDS):
        return sizes(kit, wish(words["item"], kit=kit, **told), run)


def _near(kit: Kit, read: Wish) -> list[tuple[str, str]]:
    """Each loom, and the girths in reach below and above."""
    report = check(kit, read)
    found = []
    for each in getattr(report, "looms", []):
        ends = [
            f"{length_text(half_up(mm * 1000), read.unit)} {which}"
            for mm, which in ((each.nearest_below_mm, "below"), (each.nearest_above_mm, "above"))
            if mm is not None
        ]
        found.append((each.loom, " and ".join(ends) if ends else each.says))
    return found


def _any(names: Iterable[str]) -> list[tuple[str, str]]:
    return [("", "any"), *((name, name) for name in names)]


def _items() -> list[tuple[str, str]]:
    return sorted(((name, item(name).title) for name in item_names()), key=lambda each: (each[0] != "hat", each[1]))


def _ask_words(got: Got) -> str:
    ask, terms = got.answer.report.ask, Terms("us", got.wish.unit)
    recipe = item(got.wish.item, got.wish.recipes)
    girth, long = (terms.tape(half_up(mm * 1000)) for mm in (ask.girth_mm, ask.length_mm))
    return f"{recipe.title[:1].upper()}{recipe.title[1:]}, {girth} {'wide' if recipe.flat else 'round'}, {long} long"


def _option(o: OptionPlan, unit: str) -> dict[str, Any]:
    """One option in words."""
    terms = Terms("us", unit)
    girth, long = (terms.tape(half_up(mm * 1000)) for mm in (o.girth_mm, o.length_mm))
    boards = (
        f"{' + '.join(o.side_boards)} a side" + (f", {o.end_board} at the ends" if o.end_board else "")
        if o.side_boards
        else ""
    )
    built = [boards, spacers_words(o.spacers) if o.build == "boards" else ""]
    rows = f"{o.rows_plain} plain + {o.rows_band} rib" if o.rows_band else count(o.rows_total, "row")
    balls = "" if o.balls is None else f", {count(o.balls, 'ball')}"
    return {
        "rank": o.rank,
        "front": o.front,
        "loom": o.loom,
        "pegs": o.pegs,
        "rows": rows,
        "size": f"{girth} × {long}",
        "built": ", ".join(b for b in built if b),
        "yarn": o.yarn + ("" if o.strands == 1 else f", {o.strands} strands"),
        "needs": terms.yarn(half_up(o.yarn_m * 1_000_000)) + balls,
        "fits": f"{10 * o.chance_of_fit:.0f} of 10",
        "gauge": BASIS[o.gauge_basis],
        "changes": o.changes,
        "others": [f"{p.name}: {p.pegs} pegs on the {p.loom}, {p.rows_total} rows" for p in o.pieces[1:]],
    }

"""The room Cupboard: looms, yarn, swatches and people, each a form that saves by itself, and every change undone."""

from collections.abc import Mapping
from hashlib import sha256
from typing import Any
from urllib.parse import parse_qsl, urlencode

from starlette.requests import Request
from starlette.responses import Response

from catalog.errors import InputError
from catalog.kit import Kit, Loom
from catalog.kitfile import Table, add, change_entry, remove
from solver.plan.changes import spacers
from solver.terms import count
from solver.web.drawn import described, standing, svg_of
from solver.web.forms import BUILDS, can_be_shown, entry_of, field_of, fields_of, form_of, ten_faults
from solver.web.house import House
from solver.web.pages import Form, asked, drawing_style, page, place, style_policy, to

TABLES: dict[str, Table] = {"looms": "loom", "yarn": "yarn", "swatches": "swatch", "people": "wearer"}
SAYS = {"loom": "loom", "yarn": "yarn", "swatch": "swatch", "wearer": "person"}


def cupboard(house: House, request: Request) -> Response:
    """Everything in the kit."""
    from solver.gauging.doubt import doubt_notes

    kit = house.kit()
    return page(
        "cupboard.html.j2",
        room="cupboard",
        kit=kit,
        file=str(house.kit_path),
        looms=[
            (each.name, _loom_words(each, raw), "/cupboard/drawing?" + urlencode({"loom": each.name}))
            for each, raw in zip(kit.loom, house.entries().get("loom", []), strict=True)
        ],
        yarns=[(each.name, _yarn_words(each)) for each in kit.yarn],
        swatches=[(n, _swatch_words(each), _mark(each)) for n, each in enumerate(house.entries().get("swatch", []), 1)],
        people=[(str(each["name"]), _person_words(each)) for each in house.entries().get("wearer", [])],
        doubts=doubt_notes(kit),
        asked=house.asked,
        undo=house.undos[-1].says if house.undos else "",
        said=asked(request).get("said", ""),
    )


def new(house: House, request: Request, table: str) -> Response:
    """An empty form, or one begun: what was typed already stands in the address."""
    kit, typed = house.kit(), asked(request)
    what = TABLES[table]
    build = typed.get("build", "boards") if what == "loom" else ""
    if build not in BUILDS:
        build = "boards" if what == "loom" else ""
    fields = fields_of(what, build, kit)
    return _form(house, table, build, {**{f.name: f.default for f in fields}, **typed}, {}, which="")


def edit(house: House, request: Request, table: str) -> Response:
    """The form of an entry that is there."""
    which, entries = asked(request).get("which", ""), house.entries().get(TABLES[table], [])
    entry = _found(entries, TABLES[table], which)
    if entry is None:
        return to("/cupboard?" + urlencode({"said": f"There is no {SAYS[TABLES[table]]} {which} any more."}))
    if not can_be_shown(TABLES[table], entry):
        says = f"{which} says more than the form has room for: change it in {house.kit_path}."
        return to("/cupboard?" + urlencode({"said": says}))
    typed = {**form_of(TABLES[table], entry), "mark": _mark(entry)}
    return _form(house, table, str(entry.get("build", "")), typed, {}, which=which)


def save(house: House, form: Form, table: str) -> Response:
    """Add an entry, or change one; with errors the form again, each at its field, and nothing written."""
    what, build, which = TABLES[table], form.get("build", ""), form.get("which", "")
    if what == "loom" and build not in BUILDS:
        build = "boards"
    try:
        entry = entry_of(what, build, form)
        doubt = _doubted(house.kit(), entry, which) if what == "swatch" and "checked" not in entry else []
        if doubt:
            return _form(
                house,
                table,
                build,
                form,
                {"": [*doubt, "Count again. If it is so, tick “Counted again, and it is so”."]},
                which=which,
            )
        if which:
            was = _found(house.entries().get(what, []), what, which)
            if was is None or form.get("mark", "") != _mark(was):
                return _meanwhile(which)
            number: str | int = int(which) if what == "swatch" else which
            if changes := _changes(entry_of(what, build, form_of(what, was)), entry):
                house.change(f"{which} changed", lambda path: change_entry(path, what, number, changes))
        else:
            name = entry.get("name", "")
            house.change(f"{SAYS[what]} {name} added".replace("  ", " "), lambda path: add(path, what, entry))
    except InputError as error:
        wrong = _at_fields(what, error)
        if what == "loom" and (ten := ten_faults(form)):
            wrong["ten"] = [_sentence(words) for words in ten]
        return _form(house, table, build, form, wrong, which=which)
    return to(_ask_behind(form) or "/cupboard?" + urlencode({"said": "Saved."}) + f"#{table}")


def _ask_behind(typed: Mapping[str, str]) -> str:
    """The address of the ask that a form was begun from, empty for none; always one of Make, whatever was sent."""
    words = parse_qsl(typed.get("back", ""))
    return "/make?" + urlencode(words) if words else ""


def _changes(was: Mapping[str, Any], entry: Mapping[str, Any]) -> dict[str, Any]:
    """What somebody changed in a form: of an entry's keys those whose fields say something else now, None for gone."""
    return {key: entry.get(key) for key in {**entry, **was} if entry.get(key) != was.get(key)}


def _mark(entry: Mapping[str, Any]) -> str:
    """An entry as it was when its form was made: a swatch has no name, only a place that others may move."""
    return sha256(repr(entry).encode()).hexdigest()[:16]


def _meanwhile(which: str) -> Response:
    words = (
        f"{which} was changed meanwhile, from another page or by a command: nothing was written. Here is how it is now."
    )
    return to("/cupboard?" + urlencode({"said": words}))


def take_out(house: House, form: Form, table: str) -> Response:
    """Cut an entry out of the kit; what swatches name asks once more."""
    what, which = TABLES[table], form.get("which", "")
    number: str | int = (place(which) or 0) if what == "swatch" else which
    with_swatches = form.get("with_swatches") == "yes"
    was = _found(house.entries().get(what, []), what, which)
    if what == "swatch" and was is not None and form.get("mark", "") != _mark(was):
        return _meanwhile(f"Swatch {which}")
    try:
        house.change(f"{which} taken out", lambda path: remove(path, what, number, with_swatches=with_swatches))
    except InputError as error:
        named = [p for p in error.problems if "named by swatch" in p.problem]
        if not named:
            return to("/cupboard?" + urlencode({"said": str(error)}))
        return page(
            "sure.html.j2",
            room="cupboard",
            table=table,
            which=which,
            words=f"{which}: {named[0].problem.split(',')[0]}.",
        )
    return to("/cupboard?" + urlencode({"said": f"{which} is taken out."}))


def undo(house: House) -> Response:
    """Take the last change back."""
    try:
        said = f"Undone: {house.undo()}."
    except InputError as error:
        said = str(error)
    return to("/cupboard?" + urlencode({"said": said}))


def drawing(house: House, request: Request) -> Response:
    """A loom of the kit as it stands, or one as it is described so far, as a picture."""
    typed = asked(request)
    loom = next((each for each in house.kit().loom if each.name == typed.get("loom")), None)
    svg = svg_of(described(typed) if loom is None else standing(loom))
    policy = {"content-security-policy": style_policy(drawing_style())}
    return Response(svg, media_type="image/svg+xml", headers=policy)


def _form(
    house: House, table: str, build: str, typed: Mapping[str, str], wrong: Mapping[str, list[str]], *, which: str
) -> Response:
    what = TABLES[table]
    fields = fields_of(what, build, house.kit())
    known = {f.name for f in fields}
    general = [words for key, each in wrong.items() if key not in known for words in each]
    first = next((f.name for f in fields if f.name in wrong), "")
    return page(
        "entry.html.j2",
        status=422 if wrong else 200,
        room="cupboard",
        table=table,
        what=SAYS[what],
        build=build,
        builds=BUILDS if what == "loom" and not which else {},
        fields=fields,
        typed=typed,
        wrong=wrong,
        general=general,
        first=first,
        which=which,
        mark=typed.get("mark", ""),
        kept={k: v for k, v in typed.items() if (k.endswith("_name") or k == "back") and k not in known},
        leave=_ask_behind(typed) or f"/cupboard#{table}",
        drawn=f"/cupboard/drawing?{urlencode({**typed, 'build': build})}" if what == "loom" else "",
    )


def _at_fields(what: str, error: InputError) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for problem in error.problems:
        said = problem.problem + (f" ({problem.hint})" if problem.hint else "")
        found.setdefault(field_of(what, problem.key), []).append(_sentence(said.replace('found ""', "found nothing")))
    return found


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + "."


def _doubted(kit: Kit, entry: dict[str, Any], which: str) -> list[str]:
    """What the other swatches say against a new one; a swatch that is changed is held against all but itself."""
    from solver.gauging.newcomer import judged

    others = kit
    if number := place(which):
        others = kit.model_copy(update={"swatch": tuple(s for n, s in enumerate(kit.swatch, 1) if n != number)})
    return judged(others, entry).itself


def _found(entries: list[dict[str, Any]], what: str, which: str) -> dict[str, Any] | None:
    if what == "swatch":
        number = place(which) or 0
        return entries[number - 1] if 1 <= number <= len(entries) else None
    return next((e for e in entries if e.get("name") == which), None)


def _loom_words(loom: Loom, raw: Mapping[str, Any]) -> str:
    apart = f"{raw['pitch']} from peg to peg"
    if loom.build == "ring":
        return f"ring of {loom.pegs} pegs, {apart}"
    if loom.build == "slider":
        return f"long frame, {loom.pegs_least} to {loom.pegs_most} pegs, {apart}"
    sides, ends = (
        ", ".join(f"{b.on_hand} × {b.name} ({b.pegs(loom.pitch_um)} pegs)" for b in boards)
        for boards in (loom.side_boards, loom.end_boards)
    )
    return f"frame, {apart}; sides: {sides}" + (f"; ends: {ends}" if ends else "")


def _yarn_words(yarn: Any) -> str:
    balls = (
        "can be bought"
        if yarn.balls is None
        else count(yarn.balls, "ball")
        if yarn.balls == int(yarn.balls)
        else f"{float(yarn.balls):g} balls"
    )
    return f"weight {yarn.weight}, {balls}" + (f", {yarn.fibre}" if yarn.fibre else "")


def _swatch_words(raw: Mapping[str, Any]) -> str:
    """A swatch with its lengths as they were typed."""
    wide, high = raw["stitches"], raw["rows"]
    strands = f" × {raw['strands']}" if raw.get("strands", 1) != 1 else ""
    on = f"{raw['loom']}, {spacers(int(raw.get('spacers', 0)))}, {raw['yarn']}{strands}, {raw.get('stitch', 'u-wrap')}"
    if wide["over"] == high["over"]:
        return f"{on}: {wide['count']} stitches and {high['count']} rows over {wide['over']}"
    return f"{on}: {wide['count']} stitches over {wide['over']}, {high['count']} rows over {high['over']}"


def _person_words(raw: Mapping[str, Any]) -> str:
    names = ("head", "hand", "hand_length", "foot", "foot_length", "neck", "heel")
    said = [f"{name.replace('_', ' ')} {raw[name]}" for name in names if name in raw]
    return ", ".join([*said, *([str(raw["age"])] if "age" in raw else [])]) or "no measures yet"

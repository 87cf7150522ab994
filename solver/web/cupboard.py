"""The room Cupboard: looms, yarn, swatches and people, each a form that saves by itself, and every change undone."""

import tomllib
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from catalog.errors import InputError
from catalog.kit import Kit
from catalog.kitfile import Table, add, change_entry, remove
from catalog.units import length_text
from solver.formats.looms import LoomShape, loom_picture
from solver.web.forms import BUILDS, can_be_shown, entry_of, field_of, fields_of, form_of
from solver.web.house import House
from solver.web.pages import Form, asked, drawing_style, page, style_policy, to

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
        looms=[(each.name, _loom_words(each), _drawn_entry(each)) for each in kit.loom],
        yarns=[(each.name, _yarn_words(each)) for each in kit.yarn],
        swatches=[(n, _swatch_words(each)) for n, each in enumerate(kit.swatch, 1)],
        people=[(each.name, _person_words(each)) for each in kit.wearer],
        doubts=doubt_notes(kit),
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
    which, entries = asked(request).get("which", ""), _entries(house, TABLES[table])
    entry = _found(entries, TABLES[table], which)
    if entry is None:
        return to("/cupboard?" + urlencode({"said": f"There is no {SAYS[TABLES[table]]} {which} any more."}))
    if not can_be_shown(TABLES[table], entry):
        says = f"{which} says more than the form has room for: change it in {house.kit_path}."
        return to("/cupboard?" + urlencode({"said": says}))
    return _form(house, table, str(entry.get("build", "")), form_of(TABLES[table], entry), {}, which=which)


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
            was = _found(_entries(house, what), what, which) or {}
            changes = {**{key: None for key in was if key not in entry and key not in KEPT}, **entry}
            number: str | int = int(which) if what == "swatch" else which
            changes = {key: value for key, value in changes.items() if was.get(key) != value}
            if changes:
                house.change(f"{which} changed", lambda path: change_entry(path, what, number, changes))
        else:
            name = entry.get("name", "")
            house.change(f"{SAYS[what]} {name} added".replace("  ", " "), lambda path: add(path, what, entry))
    except InputError as error:
        return _form(house, table, build, form, _at_fields(what, error), which=which)
    return to("/cupboard?" + urlencode({"said": "Saved."}) + f"#{table}")


KEPT = ("set_up_as", "bolts_per_board", "wraps_per_inch", "density", "heel", "sex", "ease")  # what a form does not show


def take_out(house: House, form: Form, table: str) -> Response:
    """Cut an entry out of the kit; what swatches name asks once more."""
    what, which = TABLES[table], form.get("which", "")
    number: str | int = int(which) if what == "swatch" and which.isdecimal() else which
    with_swatches = form.get("with_swatches") == "yes"
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
    """A loom as it is described, as a picture; while it is typed, and to whoever has no script."""
    typed = asked(request)
    svg = _drawn(typed.get("build", ""), typed)
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
        kept={k: v for k, v in typed.items() if k.endswith("_name") and k not in known},
        drawn=f"/cupboard/drawing?{urlencode({**typed, 'build': build})}" if what == "loom" else "",
    )


def _at_fields(what: str, error: InputError) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for problem in error.problems:
        said = problem.problem + (f" ({problem.hint})" if problem.hint else "")
        found.setdefault(field_of(what, problem.key), []).append(said[:1].upper() + said[1:] + ".")
    return found


def _doubted(kit: Kit, entry: dict[str, Any], which: str) -> list[str]:
    """What the other swatches say against a new one; a swatch that is changed is held against all but itself."""
    from solver.gauging.newcomer import judged

    others = kit
    if which.isdecimal():
        others = kit.model_copy(update={"swatch": tuple(s for n, s in enumerate(kit.swatch, 1) if n != int(which))})
    return judged(others, entry).itself


def _entries(house: House, what: str) -> list[dict[str, Any]]:
    if not house.kit_path.exists():
        return []
    entries: list[dict[str, Any]] = tomllib.loads(house.kit_path.read_text(encoding="utf-8-sig")).get(what, [])
    return entries


def _found(entries: list[dict[str, Any]], what: str, which: str) -> dict[str, Any] | None:
    if what == "swatch":
        number = int(which) if which.isdecimal() else 0
        return entries[number - 1] if 1 <= number <= len(entries) else None
    return next((e for e in entries if e.get("name") == which), None)


def _drawn(build: str, typed: Mapping[str, str]) -> str:
    """The SVG of a loom that is perhaps half typed."""
    from solver.web.pages import environment

    def whole(key: str, most: int = 400) -> int:
        text = typed.get(key, "")
        return min(int(text), most) if text.isdecimal() else 0

    if build == "ring":
        pegs = whole("pegs")
        shape = LoomShape(pegs, "K" * pegs, ring=pegs)
    elif build == "slider":
        along = whole("pegs_most") // 2
        shape = LoomShape(2 * along, "K" * (2 * along), along=along, boards=(("", along),), to_scale=False)
    else:
        along, across = whole("side1_pegs"), whole("end1_pegs", 60)
        pegs = 2 * (along + across)
        shape = LoomShape(pegs, "K" * pegs, along=along, boards=((f"{along} pegs", along),), across=across, end="end")
    picture = (
        loom_picture(shape, "the loom from above") if shape.pegs >= 4 and (shape.ring or shape.along >= 2) else None
    )
    svg = environment().get_template("drawing.svg.j2").render(picture=picture).strip()
    size = f'xmlns="http://www.w3.org/2000/svg" width="560" height="{picture.height if picture else 120:g}"'
    return svg.replace("<svg ", f"<svg {size} ", 1).replace("</svg>", f"<style>{drawing_style()}</style></svg>")


def _drawn_entry(loom: Any) -> str:
    """The address of a loom's drawing."""
    told: dict[str, Any] = {"build": loom.build}
    if loom.build == "ring":
        told["pegs"] = loom.pegs
    elif loom.build == "slider":
        told["pegs_most"] = loom.pegs_most
    else:
        told["side1_pegs"] = max(b.pegs(loom.pitch_um) for b in loom.side_boards)
        told["end1_pegs"] = max((b.pegs(loom.pitch_um) for b in loom.end_boards), default=0)
    return f"/cupboard/drawing?{urlencode(told)}"


def _loom_words(loom: Any) -> str:
    apart = f"{length_text(loom.pitch_um, 'cm', places=2)} from peg to peg"
    if loom.build == "ring":
        return f"ring of {loom.pegs} pegs, {apart}"
    if loom.build == "slider":
        return f"long frame, {loom.pegs_least} to {loom.pegs_most} pegs, {apart}"
    sides = ", ".join(f"{b.on_hand} × {b.name} ({b.pegs(loom.pitch_um)} pegs)" for b in loom.side_boards)
    return f"frame, {apart}; sides: {sides}"


def _yarn_words(yarn: Any) -> str:
    balls = "can be bought" if yarn.balls is None else f"{float(yarn.balls):g} balls"
    return f"weight {yarn.weight}, {balls}" + (f", {yarn.fibre}" if yarn.fibre else "")


def _swatch_words(swatch: Any) -> str:
    count = f"{float(swatch.stitches.count):g} stitches and {float(swatch.rows.count):g} rows"
    on = f"{swatch.loom}, {swatch.spacers} spacers, {swatch.yarn}" + (
        f" × {swatch.strands}" if swatch.strands > 1 else ""
    )
    return f"{on}, {swatch.stitch}: {count} over {length_text(swatch.stitches.over_um, 'cm')}"


def _person_words(person: Any) -> str:
    names = ("head", "hand", "hand_length", "foot", "foot_length", "neck", "heel")
    said = [f"{n.replace('_', ' ')} {length_text(um, 'cm')}" for n in names if (um := getattr(person, f"{n}_um"))]
    return ", ".join([*said, *([str(person.age)] if person.age else [])]) or "no measures yet"

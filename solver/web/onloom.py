"""The room On the loom: pieces that are begun, the row now in large letters, checks and what follows from a count."""

from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from catalog.errors import InputError, Problem
from catalog.item import item
from catalog.kitfile import add_swatch
from catalog.swatchtext import counted as counted_of
from catalog.units import half_up, length_text
from solver.door import adjust
from solver.door.lines import branch_lines, halfway_lines
from solver.formats.html import html_of
from solver.page.contents import sheet_of
from solver.report.adjust import AdjustReport
from solver.web.house import House
from solver.web.make import at_fields
from solver.web.pages import Form, asked, page, place, style_policy, to
from solver.web.run import Entry, back_to, rows_done, run_of
from solver.web.shelf import Begun


def pieces(house: House, request: Request) -> Response:
    """What is begun; one that cannot be read says so and stays."""
    rows, broken = [], []
    for id_ in house.shelf.ids():
        try:
            begun = house.shelf.get(id_)
        except InputError as error:
            broken.append(str(error))
            continue
        if begun is not None:
            run = run_of(begun.plan)
            rows.append((begun, _title(begun), min(begun.done, len(run)), len(run)))
    return page("pieces.html.j2", room="loom", rows=rows, broken=broken, said=asked(request).get("said", ""))


def piece(house: House, id_: str) -> Response:
    """The entry now, what is next, and the loom."""
    begun = house.shelf.get(id_)
    return to("/loom") if begun is None else _shown(begun, {}, None)


def ticked(house: House, form: Form, id_: str) -> Response:
    """Row done, or undo. The place that the form was made for goes along: a form sent twice ticks once."""
    begun = house.shelf.get(id_)
    if begun is None:
        return to("/loom")
    run = run_of(begun.plan)
    done = begun.done
    if place(form.get("at", "")) == done:
        done = min(done + 1, len(run)) if form.get("do") == "done" else max(done - 1, 0)
        house.shelf.tick(id_, done)
    if form.get("quiet") == "yes":
        return JSONResponse(now(run, done))
    return to(f"/loom/{id_}")


def jump(house: House, form: Form, id_: str) -> Response:
    """Back so many rows, as a count advised: the piece in hand has just its first rows again."""
    begun = house.shelf.get(id_)
    row = place(form.get("row", ""))
    if begun is not None and row is not None:
        run = run_of(begun.plan)
        house.shelf.tick(id_, back_to(run, begun.done, row))
    return to(f"/loom/{id_}")


def counted(house: House, form: Form, id_: str) -> Response:
    """What was counted at a check: go on, so many rows back, or start again; or kept as a swatch."""
    begun = house.shelf.get(id_)
    if begun is None:
        return to("/loom")
    run = run_of(begun.plan)
    stitches, rows, over = (form.get(key, "").strip() for key in ("stitches", "rows", "over"))
    report: AdjustReport | None = None
    wrong: dict[str, list[str]] = {}
    try:
        told = [f"{n} over {over or '4in'}" if n and "over" not in n else n for n in (stitches, rows)]
        report = adjust(house.kit(), begun.plan, rows_done=rows_done(run, begun.done), stitches=told[0], rows=told[1])
        if form.get("keep") == "yes":
            from solver.gauging.newcomer import judged
            from solver.halfway.restart import kept_as

            wide, high = (counted_of(text, key) for text, key in zip(told, ("stitches", "rows"), strict=True))
            kit = house.kit()
            entry = kept_as(begun.plan, kit, [wide], [high])
            doubted = judged(kit, entry).itself
            if doubted:
                raise InputError("", *(Problem("", f"Not kept: {words}") for words in doubted))
            house.change("swatch added from the piece", lambda path: add_swatch(path, entry))
    except InputError as error:
        wrong = at_fields(error)
    return _shown(begun, {**form, "wrong": wrong}, report)


def put_away(house: House, id_: str) -> Response:
    """Off the list; "bring it back" undoes that."""
    house.shelf.put_away(id_)
    return to("/loom?" + urlencode({"said": "away"}))


def bring_back(house: House) -> Response:
    """The piece that was put away last."""
    id_ = house.shelf.bring_back()
    return to(f"/loom/{id_}" if id_ else "/loom")


def sheet(house: House, id_: str) -> Response:
    """The whole sheet, to print: with the policy that lets in its own style and nothing else."""
    from starlette.responses import HTMLResponse

    begun = house.shelf.get(id_)
    if begun is None:
        return to("/loom")
    text = html_of(sheet_of(begun.plan))
    style = text.partition("<style>")[2].partition("</style>")[0]
    return HTMLResponse(text, headers={"content-security-policy": style_policy(style)})


def now(run: list[Entry], done: int) -> dict[str, Any]:
    """The entry now and the next ones, for the page and for its script."""
    here = run[done] if done < len(run) else None
    return {
        "at": done,
        "of": len(run),
        "part": here.part if here else "",
        "title": here.title if here else "Done",
        "words": list(here.words) if here else ["Every row is worked and every end is fast."],
        "check": bool(here and here.check),
        "next": [each.title for each in run[done + 1 : done + 4]],
        "last": run[done - 1].title if done else "",
    }


def _shown(begun: Begun, form: dict[str, Any], report: AdjustReport | None) -> Response:
    run = run_of(begun.plan)
    told = now(run, begun.done)
    sheet_ = sheet_of(begun.plan)
    loom = next((part for part in sheet_.parts if part.name.startswith("loom")), None)
    return page(
        "piece.html.j2",
        status=422 if form.get("wrong") else 200,
        room="loom",
        begun=begun,
        title=_title(begun),
        now=told,
        loom=loom,
        form=form,
        wrong=form.get("wrong", {}),
        advice=_advice(begun, report) if report else None,
        over="4 in" if begun.plan.unit == "in" else "10 cm",
        care=begun.plan.cautions,
        again="/make?" + begun.words,
    )


def _advice(begun: Begun, report: AdjustReport) -> dict[str, Any]:
    """What follows from a count, in words."""
    recipe = item(begun.plan.item, begun.plan.wish.recipes)
    unit = begun.plan.unit
    lines = [*halfway_lines(report, recipe.title, unit), *branch_lines(report, unit)]
    length = report.length
    back = length.take_back and not report.start_again
    row = report.rows_done - length.take_back if back else None
    return {"lines": lines, "row": row, "again": report.start_again, "notes": report.notes}


def _title(begun: Begun) -> str:
    recipe = item(begun.plan.item, begun.plan.wish.recipes)
    girth = length_text(half_up(begun.plan.option.girth_mm * 1000), begun.plan.unit)
    return (
        begun.named
        if begun.named and begun.named != recipe.title
        else f"{recipe.title[:1].upper()}{recipe.title[1:]}, {girth}"
    )

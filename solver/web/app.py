"""The rooms as one app: which address leads to which room; handlers are functions from request to response."""

from collections.abc import Awaitable, Callable, Collection
from functools import partial
from urllib.parse import parse_qsl

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from catalog.errors import InputError
from solver.model.timing import Undecided
from solver.web import cupboard, make, many, onloom
from solver.web.guard import MOST_BYTES, Guard, too_long
from solver.web.house import House
from solver.web.keys import Keys
from solver.web.pages import ALL, ROOMS, Form, page, script, style, to

Get = Callable[[Request], Response]
Post = Callable[[Request, Form], Response]
Endpoint = Callable[[Request], Awaitable[Response]]


def app_of(house: House, hosts: Collection[str], keys: Keys, *, sheet_only: bool = False) -> ASGIApp:
    """The app for those hosts and keys; `sheet_only` is for a phone: the pieces and their ticks, nothing else."""
    if sheet_only:
        routes = [*_assets(), *_ticking(house), Route("/", _get(lambda _: to("/loom")))]
    else:
        routes = [*_assets(), *_ticking(house), *_loom(house), *_all(house), Route("/", _get(partial(_front, house)))]
    app = Starlette(routes=routes, exception_handlers={404: _lost, Exception: _fault})
    return Guard(_rooms_of(app, ALL[-1:]) if sheet_only else app, hosts, keys, locked)


def _rooms_of(app: ASGIApp, rooms: tuple[tuple[str, str], ...]) -> ASGIApp:
    """The app whose pages show only those rooms."""

    async def fewer(scope: Scope, receive: Receive, send: Send) -> None:
        ROOMS.set(rooms)
        await app(scope, receive, send)

    return fewer


def locked() -> Response:
    """The page for who comes without a key that still opens."""
    return page("locked.html.j2", 401, room="")


def _front(house: House, _: Request) -> Response:
    """The first visit opens the Cupboard, later ones the loom where a piece is begun, else Make."""
    kit = house.kit()
    if not kit.loom or not kit.yarn:
        return to("/cupboard")
    return to("/loom" if house.shelf.ids() else "/make")


def _assets() -> list[Route]:
    return [
        Route("/style.css", _get(lambda _: Response(style(), media_type="text/css"))),
        Route("/script.js", _get(lambda _: Response(script(), media_type="text/javascript"))),
    ]


def _all(house: House) -> list[Route]:
    routes = [
        Route("/cupboard", _get(partial(cupboard.cupboard, house))),
        Route("/cupboard/drawing", _get(partial(cupboard.drawing, house))),
        Route("/cupboard/undo", _post(lambda _, form: cupboard.undo(house)), methods=["POST"]),
        Route("/make", _get(partial(make.make, house))),
        Route("/make/many", _get(lambda _: many.many(house, {}))),
        Route("/make/many", _post(lambda _, form: many.many(house, form)), methods=["POST"]),
        Route("/make/class", _get(partial(make.class_page, house))),
        Route("/make/begin", _post(lambda _, form: make.begin(house, form)), methods=["POST"]),
        Route("/make/do", _post(lambda _, form: make.do_that(house, form)), methods=["POST"]),
    ]
    for table in cupboard.TABLES:
        routes += [
            Route(f"/cupboard/{table}/new", _get(partial(cupboard.new, house, table=table))),
            Route(f"/cupboard/{table}/edit", _get(partial(cupboard.edit, house, table=table))),
            Route(f"/cupboard/{table}/save", _post(_of(cupboard.save, house, table)), methods=["POST"]),
            Route(f"/cupboard/{table}/out", _post(_of(cupboard.take_out, house, table)), methods=["POST"]),
        ]
    return routes


def _ticking(house: House) -> list[Route]:
    """What a phone may have too: the pieces begun, their sheets and their ticks."""
    return [
        Route("/loom", _get(partial(onloom.pieces, house))),
        Route("/loom/{id}", _get(lambda r: onloom.piece(house, _id(r)))),
        Route("/loom/{id}/sheet", _get(lambda r: onloom.sheet(house, _id(r)))),
        Route("/loom/{id}/tick", _post(lambda r, form: onloom.ticked(house, form, _id(r))), methods=["POST"]),
    ]


def _loom(house: House) -> list[Route]:
    return [
        Route("/loom/back", _post(lambda _, form: onloom.bring_back(house)), methods=["POST"]),
        Route("/loom/{id}/jump", _post(lambda r, form: onloom.jump(house, form, _id(r))), methods=["POST"]),
        Route("/loom/{id}/count", _post(lambda r, form: onloom.counted(house, form, _id(r))), methods=["POST"]),
        Route("/loom/{id}/away", _post(lambda r, form: onloom.put_away(house, _id(r))), methods=["POST"]),
    ]


def _id(request: Request) -> str:
    return str(request.path_params["id"])


def _of(handler: Callable[..., Response], house: House, table: str) -> Post:
    return lambda _, form: handler(house, form, table)


def _get(handler: Get) -> Endpoint:
    async def get(request: Request) -> Response:
        return await run_in_threadpool(_told, lambda: handler(request))

    return get


def _post(handler: Post) -> Endpoint:
    async def post(request: Request) -> Response:
        body = b""
        async for part in request.stream():
            body += part
            if len(body) > MOST_BYTES:
                return too_long()
        try:
            form = dict(parse_qsl(body.decode("utf-8", "replace"), keep_blank_values=True, max_num_fields=400))
        except ValueError:  # more fields than any form has
            return too_long()
        return await run_in_threadpool(_told, lambda: handler(request, form))

    return post


def _told(work: Callable[[], Response]) -> Response:
    """What a handler answers; bad input that no form can show is a page of its own."""
    try:
        return work()
    except InputError as error:
        return page("wrong.html.j2", 400, room="", lines=str(error).splitlines())
    except Undecided:
        return page("wrong.html.j2", 503, room="", lines=["Time ran out before this was worked out."])


def _lost(_: Request, __: Exception) -> Response:
    return page("wrong.html.j2", 404, room="", lines=["There is no such page."])


def _fault(_: Request, error: Exception) -> Response:
    return page("wrong.html.j2", 500, room="", lines=["This is our fault, not yours: " + type(error).__name__])

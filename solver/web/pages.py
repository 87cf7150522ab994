"""A room's values in, a page out: this package's templates, with the style sheet of the sheets before our own rules."""

from base64 import b64encode
from contextvars import ContextVar
from functools import lru_cache
from hashlib import sha256
from importlib.resources import files
from typing import Any

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from solver.formats.html import short

Form = dict[str, str]
ALL = (("cupboard", "Cupboard"), ("make", "Make"), ("loom", "On the loom"))
ROOMS: ContextVar[tuple[tuple[str, str], ...]] = ContextVar(
    "ROOMS", default=ALL
)  # the rooms that this visitor may enter: for a phone the last one


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The rooms' templates, and after them those of the sheets, whose drawings they use."""
    env = Environment(
        loader=ChoiceLoader([PackageLoader("solver.web"), PackageLoader("solver.formats")]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters["n"] = short
    env.filters["kind"] = lambda block: type(block).__name__
    return env


def page(template: str, status: int = 200, **values: Any) -> Response:
    """A page of a room."""
    rooms = ROOMS.get()
    text = environment().get_template(template).render(**values, rooms=rooms, at_desk=rooms == ALL)
    return HTMLResponse(text, status)


def to(path: str) -> Response:
    """Go there by a link: a page that is loaded again sends nothing twice."""
    return RedirectResponse(path, 303)


def asked(request: Request) -> Form:
    """The words of an address, the last of each; those left empty are not there."""
    return {key: value.strip() for key, value in request.query_params.items() if value.strip()}


def place(text: str) -> int | None:
    """A number that a form of ours was made with: a row, a swatch, an option. None for what is none, however long."""
    return int(text) if text.isdecimal() and len(text) < 10 else None


@lru_cache(maxsize=1)
def style() -> str:
    """The style sheet of every page."""
    return files("solver.formats").joinpath("templates", "page.css").read_text(encoding="utf-8") + _own("rooms.css")


@lru_cache(maxsize=1)
def drawing_style() -> str:
    """The style of a drawing that is a file of its own."""
    sheet = files("solver.formats").joinpath("templates", "page.css").read_text(encoding="utf-8")
    return "".join(line for line in sheet.replace("&", "").splitlines(keepends=True) if "content:" not in line)


def style_policy(style: str) -> str:
    """The policy of a page or drawing that brings its own style: that one, and nothing else from anywhere."""
    mark = b64encode(sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{mark}'; img-src data:; base-uri 'none'; frame-ancestors 'none'"


@lru_cache(maxsize=1)
def script() -> str:
    """The one script: pointing, the slider, the drawing while a loom is typed, a row done without a new page."""
    return _own("rooms.js")


def _own(name: str) -> str:
    return files("solver.web").joinpath("static", name).read_text(encoding="utf-8")

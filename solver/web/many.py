"""Many at once, in Make: a list pasted or taken from a file; who works where and when, or every fault of the list."""

from hashlib import sha256
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from catalog.errors import InputError
from catalog.kit import Kit
from solver.door import batch_sheet, planned, text_asks
from solver.web.house import SECONDS, House
from solver.web.pages import Form, page

if TYPE_CHECKING:
    from solver.formats.blocks import Sheet

EXAMPLE = "name,item,body,age\nAda,hat,54 cm,\nBen,hat,,7 years\n"


def many(house: House, form: Form) -> Response:
    """The form, and below it what comes of a list as soon as there is one. Nothing of the kit is changed."""
    kit, text = house.kit(), form.get("asks", "")
    values: dict[str, Any] = {"room": "make", "kit": kit, "typed": form, "example": EXAMPLE, "wrong": [], "sheet": None}
    if not text.strip() or not kit.loom or not kit.yarn:
        return page("many.html.j2", **values)
    turns, buy = form.get("turns", "").strip(), "buy" in form
    key = sha256(f"{turns} {buy} {text}".encode()).hexdigest()
    try:
        sheet = house.once(f"many {key}", lambda: _planned(kit, text, turns, buy))
    except InputError as error:
        return page("many.html.j2", 422, **{**values, "wrong": str(error).splitlines()})
    return page("many.html.j2", **{**values, "sheet": sheet})


def _planned(kit: Kit, text: str, turns: str, buy: bool) -> "Sheet":
    rows = text_asks(kit, text)
    return batch_sheet(planned(kit, rows, turns=turns or None, buy=buy, seconds=SECONDS))

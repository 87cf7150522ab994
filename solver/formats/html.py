"""A sheet as one HTML file that needs nothing else: its styles and drawings inside it, no script, no network."""

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from solver.formats.blocks import Sheet

if TYPE_CHECKING:
    from jinja2 import Environment


def html_of(sheet: Sheet) -> str:
    """The whole page."""
    return render("page.html.j2", sheet=sheet)


def render(template: str, **values: Any) -> str:
    """A template of this package, filled in; every value is escaped."""
    return environment().get_template(template).render(**values)


@lru_cache(maxsize=1)
def environment() -> "Environment":
    """The templates of this package; a name that is missing in one of them is an error."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    env = Environment(
        loader=PackageLoader("solver.formats"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    env.filters["kind"] = lambda block: type(block).__name__
    env.filters["n"] = short
    return env


def short(value: float) -> str:
    """A drawing's number without idle digits."""
    return f"{value:.2f}".rstrip("0").rstrip(".")

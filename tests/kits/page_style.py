"""The style sheet of the pages, as it stands, and the colours in it."""

import re

from catalog.shapes import HERE

CSS = (HERE.parent / "solver" / "formats" / "templates" / "page.css").read_text(encoding="utf-8")


def colours() -> dict[str, dict[str, str]]:
    """The colours of the light and of the dark page, by name."""
    found = re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)
    light, dark = (dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", block)) for block in found)
    return {"light": light, "dark": dark}

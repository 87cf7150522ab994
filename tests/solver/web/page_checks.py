"""What a page must hold for eyes, fingers and screen readers, looked for in the page as the browser shows it.

Own checks, by computed colours, boxes and names; each finding is a sentence that names the element.
"""

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

CHECKS = Path(__file__).with_suffix(".js").read_text(encoding="utf-8")


def findings(page: Page, least_target: int = 0) -> list[str]:
    """All that is wrong with the page that is shown; `least_target` in CSS pixels, 0 where targets are not judged."""
    told: dict[str, Any] = page.evaluate(CHECKS, [least_target])
    assert told["looked"] > 0, "the page shows no text"
    found: list[str] = told["found"]
    return found

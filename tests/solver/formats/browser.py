"""A headless Chromium for the tests of pages: what it measures, what it complains about, what it prints.

A page is shown in a frame of the wanted width inside a page that measures it and writes the result into its own text,
so that no driver is needed. Without a Chromium the tests are skipped, unless PEGWRIGHT_NEEDS_BROWSER=1 says that there
must be one.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-pdf-header-footer",
)  # fmt: skip
PHONE, A4 = 390, 794  # CSS pixels: a phone, and 210 mm at 96 dots to the inch

MEASURE = """
const frame = document.querySelector("iframe"), told = [];
const tell = kind => event => told.push(kind + ": " + (event.message || event.blockedURI || event.target.src || ""));
addEventListener("load", async () => {
  const page = frame.contentDocument, view = frame.contentWindow;
  view.addEventListener("error", tell("error"));
  await view.document.fonts.ready;
  const wide = page.documentElement.clientWidth, out = [], boxes = [];
  const seen = page.createTreeWalker(page.body, NodeFilter.SHOW_TEXT);
  while (seen.nextNode()) {
    const node = seen.currentNode, owner = node.parentElement;
    if (!node.data.trim() || !owner.checkVisibility()) continue;  // a folded part is not shown
    const range = page.createRange();
    range.selectNodeContents(node);
    const svg = owner.closest("svg"), room = svg ? svg.getBoundingClientRect() : null;
    const cell = owner.closest("text,p,li,dt,dd,h1,h2,h3,a,label,figcaption,td,th,span,code");
    for (const box of range.getClientRects()) {
      if (box.width < 1) continue;
      const words = node.data.trim().slice(0, 40);
      const scrolls = owner.closest(".scroll");
      if (!scrolls && (box.left < -0.5 || box.right > wide + 0.5)) out.push("off the page: " + words);
      if (room && (box.left < room.left - 0.5 || box.right > room.right + 0.5 || box.top < room.top - 0.5 ||
          box.bottom > room.bottom + 0.5)) out.push("off its drawing: " + words);
      const slack = svg ? 0.18 * box.height : 0.12 * box.height;
      const shown = {left: box.left + 0.5, right: box.right - 0.5, top: box.top + slack, bottom: box.bottom - slack};
      boxes.push([shown, words, node, cell]);
    }
    if (cell && cell.scrollWidth > cell.clientWidth + 1 && getComputedStyle(cell).overflowX === "hidden")
      out.push("cut off: " + node.data.trim());
  }
  boxes.sort((a, b) => a[0].top - b[0].top);
  for (let i = 0; i < boxes.length; i++)
    for (let j = i + 1; j < boxes.length && boxes[j][0].top < boxes[i][0].bottom; j++) {
      const [a, b] = [boxes[i][0], boxes[j][0]];
      if (boxes[i][2] !== boxes[j][2] && a.left < b.right && b.left < a.right)
        out.push("overlap: " + boxes[i][1] + " / " + boxes[j][1]);
    }
  const fonts = [...page.querySelectorAll("svg text")].map(t => t.getBoundingClientRect().height);
  const result = {wide, scroll: page.documentElement.scrollWidth, texts: boxes.length, wrong: out, told,
    ticks: [...page.querySelectorAll("input[type=checkbox]")].map(t => t.getBoundingClientRect()).map(
      b => Math.min(b.width, b.height)),
    peg: Math.min(...[...page.querySelectorAll(".loom .knit")].map(c => c.getBoundingClientRect().width), 99),
    wider: [...page.querySelectorAll(".scroll")].filter(s => s.scrollWidth > s.clientWidth + 1).map(s => [
      s.tabIndex, getComputedStyle(s).backgroundImage, getComputedStyle(s).backgroundAttachment,
      [...s.parentElement.querySelectorAll(".sideways")].filter(p => p.checkVisibility())
        .map(p => p.textContent).join()]),
    rows: [...page.querySelectorAll("tbody tr")].map(r => r.getBoundingClientRect().height),
    least: fonts.length ? Math.min(...fonts) : null,
    fetched: view.performance.getEntriesByType("resource").map(e => e.name)};
  const told_here = document.createElement("pre");
  told_here.id = "result";
  told_here.textContent = JSON.stringify(result);
  document.body.append(told_here);
});
"""


def chromium() -> str:
    """The browser; the test is skipped, or fails where one is required."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found is None:
        why = f"found none of {', '.join(NAMES)}: install chromium to test pages in a browser"
        if os.environ.get("PEGWRIGHT_NEEDS_BROWSER") == "1":
            pytest.fail(why)
        pytest.skip(why)
    return found


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the browser once, with a profile of its own."""
    with TemporaryDirectory() as profile:
        command = [chromium(), *FLAGS, f"--user-data-dir={profile}", *arguments]
        return subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)


def measured(page: str, folder: Path, width: int) -> dict[str, Any]:
    """What stands where when the page is `width` CSS pixels wide; `wrong` lists texts cut off or overlapping."""
    holder = folder / "holder.html"
    holder.write_text(
        f'<!DOCTYPE html><meta charset="utf-8"><body style="margin:0"><iframe style="border:0" width="{width}" '
        f'height="9000" srcdoc="{html.escape(page)}"></iframe><script>{MEASURE}</script>',
        encoding="utf-8",
    )
    dom = run("--window-size=1000,9000", "--virtual-time-budget=4000", "--dump-dom", holder.as_uri()).stdout
    found = re.search(r'<pre id="result">(.*?)</pre>', dom, re.DOTALL)
    assert found, "the page was not measured"
    result: dict[str, Any] = json.loads(html.unescape(found[1]))
    return result


def complaints(page: str, folder: Path) -> list[str]:
    """What the browser's console says about a page, and whatever it tried to fetch."""
    path = folder / "page.html"
    path.write_text(page, encoding="utf-8")
    said = run("--enable-logging=stderr", "--v=0", "--virtual-time-budget=2000", "--dump-dom", path.as_uri()).stderr
    return [line for line in said.splitlines() if "CONSOLE" in line or "net::ERR" in line]


def printed(page: str, folder: Path) -> Path:
    """The page as a PDF."""
    path, pdf = folder / "page.html", folder / "page.pdf"
    path.write_text(page, encoding="utf-8")
    run(f"--print-to-pdf={pdf}", path.as_uri())
    return pdf


def pictured(page: str, folder: Path, width: int, height: int, dark: bool = False) -> Path:
    """A screenshot at a width, to look at."""
    holder, png = folder / "holder.html", folder / f"page-{width}{'-dark' if dark else ''}.png"
    holder.write_text(
        f'<!DOCTYPE html><meta charset="utf-8"><body style="margin:0"><iframe style="border:0" width="{width}" '
        f'height="{height}" srcdoc="{html.escape(page)}"></iframe>',
        encoding="utf-8",
    )
    night = ("--force-dark-mode", "--blink-settings=preferredColorScheme=0") if dark else ()
    run(*night, f"--window-size={max(width, 500)},{height}", f"--screenshot={png}", holder.as_uri())
    return png

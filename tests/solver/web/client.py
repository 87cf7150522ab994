"""A browser without a browser: the app in this process, or a whole program on a port, asked as a stranger would."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2 as httpx
from starlette.testclient import TestClient

from solver.web.app import app_of
from solver.web.house import House
from solver.web.keys import Keys
from solver.web.shelf import Shelf
from tests.command import ROOT, START

HOST = "127.0.0.1:47210"
KIT = (ROOT / "catalog" / "kit.toml").read_text(encoding="utf-8")


def house_in(folder: Path, kit: str | None = KIT) -> House:
    """A house over a kit in a folder; without a text the cupboard is empty."""
    if kit is not None:
        (folder / "kit.toml").write_text(kit, encoding="utf-8")
    return House(folder / "kit.toml", Shelf(folder / "data"))


def entered(house: House, keys: Keys | None = None) -> TestClient:
    """Somebody who came in by a key."""
    keys = keys or Keys()
    client = TestClient(app_of(house, (HOST,), keys), base_url=f"http://{HOST}", follow_redirects=False)
    client.get(f"/enter?key={keys.fresh()}")
    return client


def post(client: TestClient, path: str, **form: str) -> httpx.Response:
    """A form, sent as our own page sends it."""
    answer: httpx.Response = client.post(path, data=form, headers={"origin": f"http://{HOST}"})
    return answer


@contextmanager
def program(folder: Path, *words: str, kit: str | None = KIT) -> Iterator[tuple[str, "subprocess.Popen[str]"]]:
    """`pegwright open` as a program of its own on a free port; the address that it prints, and the process."""
    if kit is not None:
        (folder / "kit.toml").write_text(kit, encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PEGWRIGHT_DATA": str(folder / "data")}
    call = [sys.executable, "-c", START, "open", "--no-browser", *words]
    run = subprocess.Popen(call, cwd=folder, env=env, stdout=-1, stderr=-1, stdin=-3, text=True)
    assert run.stdout is not None
    try:
        yield run.stdout.readline().strip(), run
    finally:
        run.kill()
        run.communicate()

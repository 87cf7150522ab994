"""`pegwright open` at its terminal: Enter prints a fresh address; --phone one for the network, for sheets alone."""

import os
import re
import select
import subprocess
import sys
import time
from pathlib import Path

import httpx2 as httpx
import pytest

from tests.command import ROOT, START
from tests.solver.web.client import KIT
from tests.solver.web.opened import Opened, free_port, opened

pty = pytest.importorskip("pty", reason="no terminals of this kind here")


def read_until(terminal: int, pattern: str, seconds: float = 60) -> str:
    """What the program printed, up to the pattern."""
    said, until = "", time.monotonic() + seconds
    while time.monotonic() < until:
        if select.select([terminal], [], [], 0.2)[0]:
            said += os.read(terminal, 65536).decode()
            if re.search(pattern, said):
                return said
    raise AssertionError(f"never came: {pattern}\n{said}")


def test_enter_prints_a_fresh_address_each_opens_once(tmp_path: Path) -> None:
    """Three addresses, three keys; a used one opens nothing more."""
    ours, theirs = pty.openpty()
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PEGWRIGHT_DATA": str(tmp_path)}
    words = [sys.executable, "-c", START, "open", "--no-browser", "--port", str(free_port())]
    process = subprocess.Popen(words, cwd=tmp_path, env=env, stdin=theirs, stdout=theirs, stderr=theirs)
    try:
        said = read_until(ours, r"Enter prints a fresh address[^\n]*\n")
        for n in (2, 3):
            os.write(ours, b"\n")
            said += read_until(ours, r"http://\S+")
            assert len(set(re.findall(r"http://\S+", said))) == n
        for address in re.findall(r"http://\S+", said):
            with httpx.Client(trust_env=False, timeout=60) as client:
                assert [client.get(address).status_code for _ in range(2)] == [303, 401]
    finally:
        process.terminate()
        process.wait(20)
        os.close(theirs)
        os.close(ours)


def phone_address(house: Opened) -> str:
    """The address that --phone prints among what it says."""
    for _ in range(300):
        found = re.findall(r"http://\S+/enter\?key=\S+", "".join(house.talk))
        if found:
            return str(found[0])
        time.sleep(0.1)
    raise AssertionError(house.talk)


def test_a_phone_gets_the_sheet_and_its_ticks_and_nothing_else(tmp_path: Path) -> None:
    """Its key opens pieces that are begun; kit and asks are not there, and neither key opens the other's door."""
    (tmp_path / "kit.toml").write_text(KIT, encoding="utf-8")
    with opened(tmp_path, tmp_path / "kit.toml", "--phone") as house, house.visitor() as desk:
        began = desk.post("/make/begin", data={"item": "hat", "around": "21 in", "option": "1"})
        piece = began.headers["location"]
        address = phone_address(house)
        assert "thers on this network could read" in "".join(house.talk)
        assert address.split("=")[1] not in house.address
        origin = address.rpartition("/enter")[0]
        assert origin != house.origin
        with httpx.Client(base_url=origin, trust_env=False, timeout=60) as phone:
            assert phone.get(piece).status_code == 401
            assert phone.get(house.address.replace(house.origin, origin)).status_code == 401
            assert phone.get(address).status_code == 303
            assert phone.get(piece).status_code == 200
            assert phone.get(f"{piece}/sheet").status_code == 200
            ticked = phone.post(f"{piece}/tick", data={"at": "0", "do": "done"}, headers={"origin": origin})
            assert ticked.status_code == 303
            for path in ("/cupboard", "/make", "/make?item=hat&around=21+in", "/cupboard/looms/new"):
                assert phone.get(path).status_code == 404, path
            shown = phone.get(piece).text + phone.get("/loom").text + phone.get("/nothing-here").text
            assert not re.findall(r'(?:href|action)="/(?:cupboard|make)|/count"|/away"', shown)
            for form in ("count", "away", "jump"):
                sent = {"row": "0", "stitches": "17", "rows": "20", "over": "4 in", "keep": "yes"}
                assert phone.post(f"{piece}/{form}", data=sent, headers={"origin": origin}).status_code == 404
            sent = {"name": "odd", "weight": "4"}
            assert phone.post("/cupboard/yarn/save", data=sent, headers={"origin": origin}).status_code == 404
            assert phone.get(piece, headers={"host": house.origin[7:]}).status_code == 421
        assert "1 of" in desk.get(piece).text
        assert (tmp_path / "kit.toml").read_text(encoding="utf-8") == KIT

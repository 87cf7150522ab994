"""Forms and addresses of `pegwright open` with something wrong in them: a page or a refusal, never a fault of ours."""

import gc
import json
import shutil
import time
from hashlib import sha256
from pathlib import Path
from urllib.parse import urlencode

import pytest
from hypothesis import given
from starlette.testclient import TestClient

from solver.plan.saved import load_plan
from solver.web.cupboard import TABLES, _mark
from solver.web.house import House
from tests.fuzz.forms import Sent, a_plan, sent
from tests.fuzz.gathered import Gathered
from tests.fuzz.judge import alarm
from tests.kits.draws import drawn, some_or_parts
from tests.solver.web.client import HOST, KIT, entered, house_in

FORM = {"origin": f"http://{HOST}", "content-type": "application/x-www-form-urlencoded"}


def begun(house: House, folder: Path) -> str:
    """A piece on the shelf; its id."""
    (folder / "plan.json").write_text(a_plan(0), encoding="utf-8")
    return house.shelf.begin(load_plan(folder / "plan.json"), "item=hat&around=21+in", "a hat")


def settle(house: House, id_: str) -> None:
    """The kit and the piece as they were."""
    house.kit_path.write_text(KIT, encoding="utf-8")
    house.undos.clear()
    for folder in house.shelf.folder.iterdir():
        if folder.name.startswith(f"away-{id_}"):
            folder.rename(house.shelf.folder / id_)
        elif folder.name != id_:
            shutil.rmtree(folder)
    plan = house.shelf.folder / id_ / "plan.json"
    told = {
        "plan": sha256(plan.read_bytes()).hexdigest(),
        "done": 4,
        "words": "item=hat&around=21+in",
        "named": "a hat",
    }
    (house.shelf.folder / id_ / "ticks.json").write_text(json.dumps(told))


def send(client: TestClient, house: House, id_: str, request: Sent) -> int:
    """The status of the answer."""
    path, fields = request.path.replace("ID", id_), list(request.fields)
    which = dict(fields).get("which", "")
    if ("mark", "MARK") in fields:
        entries = house.entries().get(TABLES.get(path.split("/")[2], "loom"), [])
        found = [e for n, e in enumerate(entries, 1) if which in (str(n), e.get("name"))]
        fields = [(k, _mark(found[0]) if found and v == "MARK" else v) for k, v in fields]
    told = urlencode(fields)
    if request.method == "GET":
        return int(client.get(f"{path}?{told}").status_code)
    return int(client.post(path, content=told, headers=FORM).status_code)


@some_or_parts(150, 30_000, parts=30)
def test_a_request_with_something_wrong(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], examples: int, part: int
) -> None:
    """Each form and address, up to four fields off: a page, a way back or a refusal, and a kit that can be read."""
    house = house_in(tmp_path)
    client, id_, gathered = entered(house), begun(house, tmp_path), Gathered()

    @drawn(examples, part)
    @given(sent())
    def each(request: Sent) -> None:
        settle(house, id_)
        began = time.process_time()
        with gathered.one(request), alarm():
            status = send(client, house, id_, request)
            gathered.tally.note(status, time.process_time() - began, repr(request))
            assert status in (200, 303) or 400 <= status < 500, status
            house.kit()

    each()
    gathered.told(capsys, "forms", part)
    gc.collect()
    found = gathered.tally.codes
    assert found[200] > examples // 10, found
    assert found[303] > examples // 30, found
    assert found[422] > examples // 30, found

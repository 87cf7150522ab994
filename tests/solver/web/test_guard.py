"""Each guard, tried from outside: by another host, another site, another port, an old key, a path, a flood."""

import socket
import time
from pathlib import Path
from urllib.parse import quote

import httpx2 as httpx
import pytest

from solver.web.guard import MOST_BYTES
from solver.web.keys import Keys
from solver.web.serve import PORT, TRIED
from tests.solver.web.client import HOST, KIT, entered, house_in, post, program

ROOMS = ("/", "/cupboard", "/make", "/make/class", "/loom", "/script.js", "/cupboard/looms/new", "/cupboard/drawing")


HOSTS = ("evil.example", "127.0.0.1", "localhost:80", f"{HOST}.evil.example", "", "127.0.0.1:1")


@pytest.mark.parametrize("host", HOSTS)
def test_another_host_is_421(tmp_path: Path, host: str) -> None:
    """A name that somebody points at this machine is no host of ours, whatever the cookie."""
    client = entered(house_in(tmp_path))
    assert client.get("/cupboard").status_code == 200
    assert client.get("/cupboard", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("path", ROOMS)
def test_without_a_session_nothing_is_shown(tmp_path: Path, path: str) -> None:
    """Only the page that says how to come in; it names no loom."""
    client = entered(house_in(tmp_path))
    client.cookies.clear()
    for cookie in ("", "pegwright=", "pegwright=guess", "pegwright=" + "x" * 4000, "=;=", 'pegwright="'):
        answer = client.get(path, headers={"cookie": cookie} if cookie else {})
        assert answer.status_code == 401
        assert "attic frame" not in answer.text
        assert "press Enter" in answer.text


def test_a_key_opens_once(tmp_path: Path) -> None:
    """And one that was never printed not at all; a fresh one opens again."""
    keys = Keys()
    client = entered(house_in(tmp_path), keys)
    client.cookies.clear()
    key = keys.fresh()
    for given, code in ((key, 303), (key, 401), ("", 401), ("nonsense", 401), ("ü", 401), (keys.fresh(), 303)):
        assert client.get("/enter", params={"key": given}).status_code == code
        client.cookies.clear()


def test_a_cookie_is_for_this_program_alone(tmp_path: Path) -> None:
    """Script cannot read it and no other site's link carries it."""
    keys = Keys()
    answer = entered(house_in(tmp_path), keys).get(f"/enter?key={keys.fresh()}")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert answer.headers["location"] == "/"


def test_a_phones_key_ends(tmp_path: Path) -> None:
    """After its time neither an unused key nor a session opens."""
    now = 0.0
    keys = Keys(lasts=100, clock=lambda: now)
    client = entered(house_in(tmp_path), keys)
    late = keys.fresh()
    assert client.get("/loom").status_code == 200
    now = 101.0
    assert client.get("/loom").status_code == 401
    assert client.get(f"/enter?key={late}").status_code == 401


@pytest.mark.parametrize(
    "origin",
    [None, "null", "http://evil.example", "http://127.0.0.1:47211", f"https://{HOST}", "http://localhost:47210"],
)
def test_a_form_of_another_site_is_403(tmp_path: Path, origin: str | None) -> None:
    """Nothing is written, though the cookie is right."""
    house = house_in(tmp_path)
    client, before = entered(house), house.kit_path.read_bytes()
    headers = {} if origin is None else {"origin": origin}
    for path in ("/cupboard/yarn/out", "/cupboard/undo", "/make/begin", "/loom/00000000/tick"):
        assert client.post(path, data={"which": "moss wool", "item": "hat"}, headers=headers).status_code == 403
    assert house.kit_path.read_bytes() == before


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_no_other_method(tmp_path: Path, method: str) -> None:
    """Only what links and forms do."""
    assert entered(house_in(tmp_path)).request(method, "/cupboard").status_code == 405


def test_a_page_that_changes_something_is_no_link(tmp_path: Path) -> None:
    """A GET of what only a form may do is refused."""
    client = entered(house_in(tmp_path))
    for path in ("/cupboard/undo", "/cupboard/yarn/out?which=moss+wool", "/make/begin?item=hat", "/loom/00000000/tick"):
        assert client.get(path).status_code in (404, 405)


def test_a_body_of_ten_megabytes_is_413(tmp_path: Path) -> None:
    """By its own header, and where the header is silent or lies by what arrives."""
    client = entered(house_in(tmp_path))
    big = b"name=" + b"x" * 10_000_000
    headers = {"origin": f"http://{HOST}", "content-type": "application/x-www-form-urlencoded"}
    assert client.post("/cupboard/yarn/save", content=big, headers=headers).status_code == 413
    parts = iter([big[: MOST_BYTES // 2]] * 60)
    assert client.post("/cupboard/yarn/save", content=parts, headers=headers).status_code == 413
    lies = {**headers, "content-length": "1e9"}
    assert client.post("/cupboard/yarn/save", content=b"", headers=lies).status_code == 413


PATHS = ("../../../etc/passwd", "/etc/passwd", "..\\..\\x", "file:///etc/passwd", "%2e%2e/x", "a\x00b", "CON", "~/x")


@pytest.mark.parametrize("path", PATHS)
def test_no_word_from_a_browser_names_a_file(tmp_path: Path, path: str) -> None:
    """A path in every field: nothing outside the kit and the pieces is read, made or changed."""
    house = house_in(tmp_path)
    client = entered(house)
    before = {p.name for p in tmp_path.rglob("*")}
    for field in ("item", "who", "girth", "loom", "yarn", "fit", "rib", "recipes", "kit", "save", "page"):
        answer = client.get("/make", params={"item": "hat", "girth": "21 in", "of": "around", field: path})
        assert answer.status_code in (200, 422)
        assert "root:" not in answer.text
    for field in ("name", "fibre", "weight", "length_per_ball"):
        post(client, "/cupboard/yarn/save", **{"name": "odd", "weight": "4", field: path})
    for id_ in (path, "00000000", "plan.json"):
        assert client.get(f"/loom/{quote(id_)}").status_code in (303, 404)
        assert client.get(f"/loom/{quote(id_)}/sheet").status_code in (303, 404)
    assert {p.name for p in tmp_path.rglob("*") if not p.name.endswith(".lock")} == before


@pytest.mark.parametrize("path", ROOMS)
def test_every_answer_carries_the_policy(tmp_path: Path, path: str) -> None:
    """Nothing from elsewhere, no script in the page, in no frame; refusals and errors too."""
    client = entered(house_in(tmp_path))
    for answer in (client.get(path), client.get("/no-such-page"), client.get(path, headers={"host": "x"})):
        policy = answer.headers["content-security-policy"]
        assert policy.startswith("default-src 'none'")
        assert "unsafe" not in policy
        assert "http" not in policy
        assert "frame-ancestors 'none'" in policy
        assert answer.headers["x-content-type-options"] == "nosniff"


def test_names_never_come_through_as_markup(tmp_path: Path) -> None:
    """A loom and a yarn that would be script, in every room."""
    loom, yarn = "<script>alert(1)</script><img src=x onerror=alert(1)>", "'><svg onload=alert(2)>"
    house = house_in(tmp_path, KIT.replace("attic frame", loom).replace("moss wool", yarn))
    client = entered(house)
    asks = [f"/make?item=hat&girth={girth}+in&of=around" for girth in (21, 60)]
    pages = ["/cupboard", *asks, "/make/class?item=hat"]
    began = post(client, "/make/begin", item="hat", around="21 in", option="1").headers["location"]
    for path in (*pages, began, f"{began}/sheet", "/cupboard/swatches/new", "/loom"):
        answer = client.get(path)
        assert answer.status_code == 200, path
        body = answer.text.replace('<script src="/script.js" defer></script>', "")
        assert "<script" not in body, path
        assert "<img src=x" not in body, path
        assert "<svg onload" not in body, path


def test_the_program_listens_on_this_machine_alone(tmp_path: Path) -> None:
    """By a real socket: 127.0.0.1 answers, and within a second or so of its start; no other address of this machine."""
    begun = time.monotonic()
    with program(tmp_path) as (address, _):
        host, port = address.split("/")[2].split(":")
        assert host == "127.0.0.1"
        assert PORT <= int(port) < PORT + TRIED
        assert httpx.get(address).status_code == 303
        assert time.monotonic() - begun < 20
        own = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {"127.0.0.1"}
        for other in own:
            with pytest.raises(OSError, match=r".*"), socket.create_connection((str(other), int(port)), timeout=1):
                pass


def test_a_taken_port_is_told(tmp_path: Path) -> None:
    """The next one where none was asked for; an error where it was."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        with program(tmp_path, "--port", port) as (address, run):
            assert address == ""
            assert run.wait(30) == 2
            assert run.stderr is not None
            assert f"found port {port} taken" in run.stderr.read()


def test_ctrl_c_ends_it(tmp_path: Path) -> None:
    """With 130 or 0, no traceback."""
    import signal

    with program(tmp_path) as (address, run):
        assert address
        run.send_signal(signal.SIGINT)
        _, talk = run.communicate(timeout=20)
        assert run.returncode in (0, 130)
        assert "Traceback" not in talk

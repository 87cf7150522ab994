"""The guards of `pegwright open` over its socket, against bytes that no well-behaved client sends."""

import re
from collections.abc import Iterator
from pathlib import Path

import httpx2 as httpx
import pytest

from tests.solver.web.opened import Opened, opened

TEN_MB = 10_000_000
SAVE = "/cupboard/yarn/save"


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Opened]:
    """One running program, in an empty folder."""
    with opened(tmp_path_factory.mktemp("house")) as running:
        yield running


@pytest.fixture(scope="module")
def inside(house: Opened) -> Iterator[httpx.Client]:
    """A browser that came in by the printed key."""
    with house.visitor() as client:
        yield client


def head(house: Opened, host: str, more: str = "", path: str = "/cupboard") -> int:
    """The status for a request line and a Host header of our own making."""
    got = house.raw(f"GET {path} HTTP/1.1\r\n{host}{more}Connection: close\r\n\r\n".encode("latin-1"))
    found = re.match(rb"HTTP/1\.1 (\d{3})", got)
    assert found, got
    return int(found[1])


def cookie(client: httpx.Client) -> str:
    """The session as a header line, so that nothing but the guard in hand can be what refuses."""
    return "Cookie: " + "; ".join(f"{name}={value}" for name, value in client.cookies.items()) + "\r\n"


def kit_text(house: Opened) -> str:
    """All text of all kits in the program's reach."""
    return "".join(path.read_text(encoding="utf-8") for path in sorted(house.home.rglob("*.toml")))


@pytest.mark.parametrize(
    "host",
    [
        "Host: attic.example\r\n", "Host: 127.0.0.1\r\n", "Host: 127.0.0.1:1\r\n", "Host: attic.example:{port}\r\n",
        "Host: 0.0.0.0:{port}\r\n", "Host: 127.0.0.1:{port}.attic.example\r\n", "Host: LOCALHOST.:{port}\r\n",
        "Host: [::1]:{port}\r\n", "Host: \r\n",
        "Host: attic.example\r\nHost: 127.0.0.1:{port}\r\n", "Host: 127.0.0.1:{port}\r\nHost: attic.example\r\n",
    ],
)  # fmt: skip
def test_any_other_host_is_refused_even_with_a_session(house: Opened, inside: httpx.Client, host: str) -> None:
    """A name of somebody else's that points to this machine gets nothing (421; 400 where there is no single host)."""
    assert head(house, f"Host: 127.0.0.1:{house.port}\r\n", cookie(inside)) == 200
    assert head(house, host.replace("{port}", str(house.port)), cookie(inside)) in (421, 400)


def test_the_key_opens_once(house: Opened, inside: httpx.Client) -> None:
    """The printed address was used by the first browser; a second one is told so."""
    with house.stranger() as client:
        again = client.get(house.address)
        assert again.status_code == 401
        assert "set-cookie" not in again.headers
        assert "Enter" in again.text
    assert inside.get("/cupboard").status_code == 200


def test_ten_megabytes_are_refused_and_nothing_is_written(house: Opened, inside: httpx.Client) -> None:
    """Said by the header, and sent in pieces without one."""
    before = kit_text(house)
    body = b"name=" + b"x" * TEN_MB
    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert _status_or_closed(inside, content=body, headers=kind) == 413
    pieces = (body[n : n + 50_000] for n in range(0, TEN_MB, 50_000))
    assert _status_or_closed(inside, content=pieces, headers=kind) == 413
    assert kit_text(house) == before
    assert inside.get("/cupboard").status_code == 200


def _status_or_closed(client: httpx.Client, **sent: object) -> int:
    """The status; a server may close the line as soon as it has said no, while we still send."""
    try:
        return client.post(SAVE, **sent).status_code  # type: ignore[arg-type]
    except (httpx.WriteError, httpx.ReadError, httpx.RemoteProtocolError):
        return 413


@pytest.mark.parametrize("length", ["-1", "x", "99999999999999999999", "1e3"])
def test_a_length_that_is_no_length_is_refused(house: Opened, inside: httpx.Client, length: str) -> None:
    """Whoever reads it first says so: 400 or 413."""
    lines = f"POST {SAVE} HTTP/1.1\r\nHost: 127.0.0.1:{house.port}\r\nOrigin: {house.origin}\r\n{cookie(inside)}"
    got = house.raw(f"{lines}Content-Length: {length}\r\nConnection: close\r\n\r\nname=x".encode())
    assert re.match(rb"HTTP/1\.1 4(00|13)", got), got


@pytest.mark.parametrize(
    "path",
    [
        "/../../etc/passwd", "/static/../serve.py", "/%2e%2e/%2e%2e/etc/passwd", "/loom/..%2f..%2fkit.toml",
        "/loom/%00", "//etc/passwd", "/templates/make.html.j2", "/rooms.css", "/kit.toml",
    ],
)  # fmt: skip
def test_no_address_names_a_file(house: Opened, inside: httpx.Client, path: str) -> None:
    """Neither ours nor the machine's: not there, or one of the rooms."""
    lines = f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{house.port}\r\n{cookie(inside)}Connection: close\r\n\r\n"
    got = house.raw(lines.encode())
    assert re.match(rb"HTTP/1\.1 (303|404|400)", got), got[:300]
    assert b"root:" not in got
    assert b"def " not in got


def test_it_listens_on_this_machine_alone(house: Opened) -> None:
    """Its socket is bound to 127.0.0.1 and to no other address."""
    port = f"{house.port:04X}"
    table = Path("/proc/net/tcp")
    if not table.exists():
        pytest.skip("no /proc/net/tcp here to read the sockets from")
    listening = [line.split() for line in table.read_text().splitlines()[1:]]
    bound = {row[1].split(":")[0] for row in listening if row[3] == "0A" and row[1].endswith(f":{port}")}
    assert bound == {"0100007F"}
    six = Path("/proc/net/tcp6")
    assert not six.exists() or f":{port} " not in "".join(
        line for line in six.read_text().splitlines() if " 0A " in line
    )

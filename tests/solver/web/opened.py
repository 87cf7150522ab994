"""`pegwright open` as a process of its own, and requests to it as any program on this machine could send them."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import httpx2 as httpx

ROOT = Path(__file__).parents[3]
START = "from solver.cli import main; main()"


@dataclass
class Opened:
    """A running one: `address` is the line that it printed, with its key; `home` holds the pieces begun."""

    process: subprocess.Popen[str]
    address: str
    home: Path
    talk: list[str] = field(default_factory=list)

    @property
    def origin(self) -> str:
        """Scheme, host and port, as a browser sends them."""
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    @property
    def port(self) -> int:
        """The port that answers."""
        return urlsplit(self.address).port or 0

    def stranger(self) -> httpx.Client:
        """A client that has no session."""
        return httpx.Client(base_url=self.origin, timeout=60, trust_env=False)

    @contextmanager
    def visitor(self) -> Iterator[httpx.Client]:
        """A client that came in by the printed address, and posts from the pages' own origin. The key opens once."""
        with self.stranger() as client:
            came_in = client.get(self.address)
            assert came_in.status_code == 303, came_in
            client.headers["origin"] = self.origin
            yield client

    def raw(self, sent: bytes, seconds: float = 10.0) -> bytes:
        """What comes back for these very bytes, until the other side closes or the time is up."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=seconds) as line:
            line.sendall(sent)
            got = b""
            try:
                while chunk := line.recv(65536):
                    got += chunk
            except (TimeoutError, ConnectionError):
                pass
        return got


@contextmanager
def opened(home: Path, kit: Path | None = None, *more: str, port: int | None = None) -> Iterator[Opened]:
    """Run it in the folder `home`, on a free port; ends it by its process id."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(home / "data"), "PYTHONUNBUFFERED": "1"}
    env.pop("PEGWRIGHT_DATA", None)
    words = ["open", "--no-browser", "--port", str(port or free_port()), *(["--kit", str(kit)] if kit else []), *more]
    process = subprocess.Popen(
        [sys.executable, "-c", START, *words], cwd=home, env=env, stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout
    assert process.stderr
    talk: list[str] = []
    threading.Thread(target=_gather, args=(process.stderr, talk), daemon=True).start()
    try:
        address = process.stdout.readline().strip()
        assert address.startswith("http://127.0.0.1:"), (address, talk, process.poll())
        yield Opened(process, address, home, talk)
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        process.stdout.close()


def free_port() -> int:
    """A port that nobody has just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _gather(stream: object, into: list[str]) -> None:
    with stream:  # type: ignore[attr-defined]
        into.extend(stream)  # type: ignore[call-overload]

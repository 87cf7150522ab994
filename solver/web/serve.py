"""`pegwright open`: one program on this machine that answers its browser, until Ctrl-C."""

import socket
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import uvicorn
from starlette.types import ASGIApp

from catalog.errors import InputError, Problem
from solver.web.app import app_of
from solver.web.house import House
from solver.web.keys import Keys
from solver.web.shelf import Shelf, data_folder

PORT = 47210  # our own: not one that a known service uses
TRIED = 20
PHONE_SECONDS, PHONE_KEY_SECONDS = 12 * 3600.0, 15 * 60.0


def house_at(kit: Path | None) -> House:
    """The house over a kit's file: the one that was asked for, kit.toml here, else the one that the Cupboard keeps."""
    from catalog.kitplace import KIT_FILE, in_folder

    folder = data_folder()
    path = in_folder(kit) if kit else KIT_FILE if KIT_FILE.exists() else folder / "kit.toml"
    return House(path.absolute(), Shelf(folder))


def listening(host: str, port: int | None) -> socket.socket:
    """A socket on the port that was asked for, or on our own or one of the next. Raises InputError."""
    for wanted in [port] if port is not None else range(PORT, PORT + TRIED):
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((host, wanted))
            found.listen(64)
            return found
        except (OSError, OverflowError):
            found.close()
    words = f"found port {port} taken" if port is not None else f"found ports {PORT} to {PORT + TRIED - 1} taken"
    raise InputError("--port", Problem("", f"{words}, expected one that is free"))


def serve(
    kit: Path | None,
    port: int | None,
    say: Callable[[str], None],
    talk: Callable[[str], None],
    *,
    browser: bool,
    phone: bool,
) -> None:
    """Answer until Ctrl-C. `say` prints the address, one line, when it answers; `talk` everything else."""
    house = house_at(kit)
    door = listening("127.0.0.1", port)
    number = door.getsockname()[1]
    keys = Keys()
    hosts = (f"127.0.0.1:{number}", f"localhost:{number}")

    def address() -> str:
        return f"http://127.0.0.1:{number}/enter?key={keys.fresh()}"

    server = uvicorn.Server(_config(app_of(house, hosts, keys)))
    first = address()
    threading.Thread(target=_when_up, args=(server, first, say, talk, browser, number, port), daemon=True).start()
    threading.Thread(target=_warm, daemon=True).start()
    if phone:
        threading.Thread(target=_phone, args=(house, talk), daemon=True).start()
    if sys.stdin is not None and sys.stdin.isatty():
        threading.Thread(target=_keys, args=(address, talk), daemon=True).start()
    server.run(sockets=[door])


def _config(app: ASGIApp) -> uvicorn.Config:
    return uvicorn.Config(
        app, log_level="error", access_log=False, lifespan="off", server_header=False, timeout_graceful_shutdown=1
    )


def _when_up(
    server: uvicorn.Server,
    first: str,
    say: Callable[[str], None],
    talk: Callable[[str], None],
    browser: bool,
    number: int,
    port: int | None,
) -> None:
    import time

    while not server.started:
        time.sleep(0.01)
    say(first)
    if port is None and number != PORT:
        talk(f"port {PORT} is taken: this is {number}, and bookmarks of {PORT} will not find it")
    talk("Enter prints a fresh address, Ctrl-C ends. Nothing leaves this machine.")
    if browser:
        import webbrowser

        webbrowser.open(first)


def _warm() -> None:
    """Load the solver while the first page is read: it takes most of a second."""
    import solver.plan.answer
    import solver.why.explain  # noqa: F401


def _keys(address: Callable[[], str], talk: Callable[[str], None]) -> None:
    """A fresh key for every Enter."""
    for _ in sys.stdin:
        talk(address())


def _phone(house: House, talk: Callable[[str], None]) -> None:
    """The sheet and its ticks for a phone in the same network, by a key that opens for a quarter of an hour."""
    import segno

    host = _here()
    door = listening(host, None)
    number = door.getsockname()[1]
    keys = Keys(lasts=PHONE_SECONDS, key_lasts=PHONE_KEY_SECONDS)
    link = f"http://{host}:{number}/enter?key={keys.fresh()}"
    segno.make(link, error="m").terminal(out=sys.stderr, compact=True)
    talk(f"{link}\nfor the phone, within 15 minutes: the sheet and its ticks. Others on this network could read along.")
    server = uvicorn.Server(_config(app_of(house, (f"{host}:{number}",), keys, sheet_only=True)))
    server.install_signal_handlers = lambda: None  # type: ignore[attr-defined]
    import asyncio

    asyncio.run(server.serve(sockets=[door]))


def _here() -> str:
    """This machine's address in its own network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])

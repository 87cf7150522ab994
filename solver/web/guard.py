"""What stands before every page: the exact host, a session, our own origin for what changes something, small bodies.

Another site that is open in the same browser can make it send requests here; it knows no key, its pages have another
origin, and a name of its own that points here is no host of ours.
"""

from collections.abc import Callable, Collection
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from solver.web.keys import Keys

MOST_BYTES = 200_000  # a list of a thousand asks; every form is far smaller
COOKIE = "pegwright"
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
ALWAYS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",  # "no-referrer" would take the origin from our own forms too
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
Page = Callable[[], Response]


class Guard:
    """The app behind it sees only requests that may be answered."""

    def __init__(self, app: ASGIApp, hosts: Collection[str], keys: Keys, locked: Page) -> None:
        """`hosts` are those that the browser may name, with their port; `locked` is the page for who has no session."""
        self.app, self.hosts, self.keys, self.locked = app, frozenset(hosts), keys, locked

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it: 421, 405, 403, 413, 401."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = Headers(scope=scope)
        answer = self._refusal(scope, headers)
        if answer is not None:
            await answer(scope, receive, _with_headers(send))
            return
        await self.app(scope, receive, _with_headers(send))

    def _refusal(self, scope: Scope, headers: Headers) -> Response | None:
        host = headers.get("host", "")
        if host not in self.hosts or headers.getlist("host") != [host]:
            return _plain(421, "This is not the address that pegwright printed.")
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return _plain(405, "Only what a browser's links and forms do is answered here.")
        if scope["method"] == "POST" and headers.get("origin") != f"http://{host}":
            return _plain(403, "This form came from another site: nothing was changed.")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length[:12]) > MOST_BYTES:
            return too_long()
        if scope["path"] == "/style.css":
            return None
        if scope["path"] == "/enter":
            return self._enter(parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])[0])
        return None if self.keys.known(_session(headers)) else self.locked()

    def _enter(self, key: str) -> Response:
        session = self.keys.spend(key)
        if session is None:
            return self.locked()
        answer = RedirectResponse("/", 303)
        answer.set_cookie(COOKIE, session, httponly=True, samesite="strict", path="/")
        return answer


def too_long() -> Response:
    """The answer to a body that no form of ours sends; the app counts what arrives, whatever the header said."""
    return _plain(413, "That is more than a form holds.")


def _session(headers: Headers) -> str:
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return found.value if found else ""


def _plain(status: int, words: str) -> Response:
    return PlainTextResponse(words + "\n", status)


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in ALWAYS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent

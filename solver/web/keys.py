"""Who may come in: a key that opens once, and the session it is changed for."""

import hmac
import secrets
import time
from collections.abc import Callable

KEYS = 8  # keys printed and not yet used
SESSIONS = 32  # browsers that came in by a key; the oldest has to ask for a new one


class Keys:
    """Keys that were printed and not used yet, and the sessions of those who used one. Lives as long as the program."""

    def __init__(
        self,
        *,
        lasts: float | None = None,
        key_lasts: float | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """`lasts`: seconds after which a session ends, `key_lasts` a key that nobody used; None: with the program."""
        self._lasts, self._key_lasts, self._clock = lasts, lasts if key_lasts is None else key_lasts, clock
        self._keys: dict[str, float] = {}
        self._sessions: dict[str, float] = {}

    def fresh(self) -> str:
        """A new key for one visit."""
        return _kept(self._keys, KEYS, self._clock())

    def spend(self, key: str) -> str | None:
        """The session that a key opens; None for a key that was never printed, is used already, or is too old."""
        found = next((k for k in self._keys if hmac.compare_digest(k.encode(), key.encode())), None)
        if found is None or self._old(self._keys.pop(found), self._key_lasts):
            return None
        return _kept(self._sessions, SESSIONS, self._clock())

    def known(self, session: str) -> bool:
        """Whether somebody came in with this session."""
        found = next((s for s in self._sessions if hmac.compare_digest(s.encode(), session.encode())), None)
        return found is not None and not self._old(self._sessions[found], self._lasts)

    def _old(self, since: float, lasts: float | None) -> bool:
        return lasts is not None and self._clock() - since > lasts


def _kept(held: dict[str, float], most: int, now: float) -> str:
    while len(held) >= most:
        held.pop(next(iter(held)))
    new = secrets.token_urlsafe(24)
    held[new] = now
    return new

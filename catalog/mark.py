"""The mark by which a file is known to be ours: a comment, a key of a plan, a text chunk of a PNG; and a plan's ticks.

It carries the digest of the rest. A file that a hand has changed no longer fits its digest, and is somebody's work like
any other.
"""

import os
import re
import struct
import zlib
from hashlib import sha256
from pathlib import Path

MOST_BYTES = 32_000_000  # nine times a page of 1,000 options, the largest file we are known to write: more is not ours
TICKS = "ticks.json"  # beside a plan that is being knitted: how far, and the digest of the plan that it speaks of
PNG, IEND = b"\x89PNG\r\n\x1a\n", 12
_MARKS = {
    "png": re.compile(rb"tEXtwritten by\0pegwright ([0-9a-f]{64})"),
    "json": re.compile(rb'^\{\n "written_by": "pegwright ([0-9a-f]{64})",'),
    "text": re.compile(rb"<!-- written by pegwright ([0-9a-f]{64}) -->\n\Z"),
}


def _kind(data: bytes) -> str:
    return "png" if data.startswith(PNG) else "json" if data.startswith(b"{") else "text"


def _with(data: bytes, digest: str) -> bytes:
    """The data with a mark of that digest where its kind has one."""
    kind = _kind(data)
    if kind == "png":
        body = f"tEXtwritten by\0pegwright {digest}".encode()
        chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
        return data[:-IEND] + chunk + data[-IEND:]
    if kind == "json":
        return f'{{\n "written_by": "pegwright {digest}",'.encode() + data[1:]
    return data + f"<!-- written by pegwright {digest} -->\n".encode()


def marked(data: bytes) -> bytes:
    """The bytes of a file of ours: a PNG, a JSON object, or text in which <!-- --> is a comment."""
    return _with(data, sha256(data).hexdigest())


def is_ours(data: bytes) -> bool:
    """Whether a file was written by pegwright and not changed since."""
    kind = _kind(data)
    found = _MARKS[kind].search(data)
    if found is None:
        return False
    digest = found[1].decode()
    whole = len(_with(data, digest)) - len(data)
    start = data.rindex(b"tEXtwritten by") - 4 if kind == "png" else 0 if kind == "json" else len(data) - whole
    rest = data[:start] + data[start + whole :]
    rest = b"{" + data[whole + 1 :] if kind == "json" else rest
    return sha256(rest).hexdigest() == digest and _with(rest, digest) == data


def held(path: Path) -> bytes | None:
    """What a file holds; None where it is too large for one of ours, whether or not its length is known before."""
    with path.open("rb") as file:
        small = os.fstat(file.fileno()).st_size <= MOST_BYTES
        data = file.read(MOST_BYTES + 1) if small else b""
    return data if small and len(data) <= MOST_BYTES else None


def has_ticks(path: Path, data: bytes) -> bool:
    """Whether the ticks beside a plan, through links too, speak of it; those of a plan of before are nobody's."""
    ticks = Path(os.path.realpath(path)).with_name(TICKS)
    return ticks.is_file() and sha256(data).hexdigest().encode() in (held(ticks) or b"")

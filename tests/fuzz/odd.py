"""What nobody means to write: odd texts, numbers and bytes, and text spoilt without a look at what it is."""

from random import Random

TEXTS = (
    "", " ", "x", "0", "-1", "true", "none", "\x00", "\x1b[31mred", "\x9b2J", "\x7f", "\x07", "a\nb", "a\r\nb", "\t",
    "\u202egnp", "\u200b", "\ufeff", "\u2028", "é", "e\u0301", "İ", "ß", "ﬀ", "½", "٣ in", "²", "𝟝 in", "\udcff",
    "\U0010ffff",
    "\\", '"', "'", "`x`", "$(x)", "%s", "{0}", "{{ x }}", "<b>", "&lt;", "=1+1", "-x", "--json", "@x",
    "[red]x[/red]", "[/]",
    "|", ",", ";", "#", "a" * 300, "9" * 60, "9" * 5_000, "é" * 2_000, "nan", "inf", "-inf", "1e9", "1e400", "1_000",
    "0x10",
    "\ue000around\ue001", "\ue002x\ue003",
)  # fmt: skip
MEASURES = (
    "21 in", "21in", '21"', "8 1/2 in", "8½ in", "54 cm", "530mm", "1 m", "0 mm", "-3 mm", "-0 in", "0.4 um",
    "0.0001 mm",
    "1e3 mm", "1/0 in", "1 1/0 in", "0/1 in", "1//2 in", "1 in*9**9**9", "5 in**1", "1 in#x", "1 in + 1 in", "21",
    "21 kg", "21 g",
    "100 km", "1" + "0" * 40 + " mm", "0." + "0" * 400 + "1 in", "9" * 5_000 + " in", "in", "in 21", "21 inn", "21 IN",
    "21  in ", "21\u00a0in",
    "２１ in", "1,5 in", "1.5.5 in", ".5 in", "5. in", "+5 in", "½", "½½ in", "1in..2in", "2in..1in", "1in..", "..",
    "0..5 m",
    "17 over 4in", "0 over 4in", "-1 over 4in", "17 over 0in", "17 over", "1e9 over 1 mm", "0.001 over 4in", "30x40",
    "0x0", "9 g", "1.31 g/cm3",
    "7 years", "18 months", "0 days", "-1 years", "1e9 years", "newborn", "80%", "101%", "1e-9", "0.999999",
)  # fmt: skip
NUMBERS = (0, 1, -1, 2, 7, 8, 41, 399, 400, 401, 1_000, 3_000_000, 10**9, 2**31, 2**63, 10**30, 10**400)
FLOATS = (0.5, -0.5, 0.1, 1e-9, 1e9, 1e30, 1e300, float("inf"), float("nan"), -0.0)
SIGNS = (
    "\x00",
    "\x1b",
    "\x9b",
    "\x7f",
    "\u202e",
    "\u200d",
    "\ufeff",
    "\u2028",
    "\u0301",
    "“",
    "’",
    "½",
    "\U0001f9f6",
    "\r",
    "\t",
    '"',
    "'",
    "\\",
)


def text(draw: Random) -> str:
    """An odd text or measure."""
    return draw.choice(TEXTS if draw.random() < 0.4 else MEASURES)


def number(draw: Random) -> int | float:
    """An odd number."""
    return draw.choice(NUMBERS) if draw.random() < 0.7 else draw.choice(FLOATS)


def pestered(draw: Random, word: str) -> str:
    """A text with an odd sign in it, a piece of it gone, or many times over."""
    at = draw.randrange(len(word) + 1)
    how = draw.randrange(4)
    if how == 0:
        return word[:at] + draw.choice(SIGNS) + word[at:]
    if how == 1:
        return word[:at] + word[at + 1 :]
    return word * draw.choice((2, 50)) if how == 2 else word.swapcase()


def spoilt_bytes(draw: Random, data: bytes) -> bytes:
    """Bytes changed, doubled or cut off, as a disk, a mail or an editor of another age would."""
    at = draw.randrange(len(data) + 1)
    how = draw.randrange(8)
    if how == 0:
        return data[:at] + bytes([draw.randrange(256)]) + data[at + 1 :]
    if how == 1:
        return data[:at] + bytes([draw.randrange(256)]) + data[at:]
    if how == 2:
        return data[:at]
    if how == 3:
        return data[:at] + data[at : at + draw.choice((1, 8, 100))] + data[at:]
    if how == 4:
        return data.replace(b"\n", draw.choice((b"\r\n", b"\r", b"\n\n", b"\x0b", b"\xe2\x80\xa8")))
    if how == 5:
        return draw.choice((b"\xef\xbb\xbf", b"\xff\xfe", b"\x00", b"#!x\n")) + data
    if how == 6:
        return data.decode("utf-8", "replace").encode(draw.choice(("latin-1", "utf-16", "cp1252")), "replace")
    return data[:at] + bytes([data[at] ^ (1 << draw.randrange(8))]) + data[at + 1 :] if at < len(data) else b""

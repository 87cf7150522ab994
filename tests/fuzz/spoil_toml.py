"""A TOML text with one thing wrong: the text is spoilt and not the tables, so that comments and layout are too."""

import json
import re
from random import Random

from tests.fuzz import odd

VALUE = r'"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|[-+\w.:]+'
PAIR = re.compile(rf"([\w-]+)(\s*=\s*)({VALUE})")
LITERALS = (
    "true", "false", "[]", "{}", "[[]]", '["a"]', "[1, 2]", '[{ name = "x", pegs = 3 }]', "{ x = 1 }", "inf", "-inf",
    "nan", "-0.0", "1e400",
    "1_0", "0x10", "0o7", "0b1", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", "'''a\nb'''", '"""a\\u0000b"""',
    '"\\u001b[31m"', '"\\U0001F9F6"',
    '"\\u202e"', '"\\n"', '"', "'", "", "1 2", "=", "[" * 600, "{a=" * 600, "9" * 5_000, "0." + "9" * 5_000, "# x",
)  # fmt: skip
BLOCK = re.compile(r"(?m)^(?=\[)")


def literal(draw: Random) -> str:
    """An odd value as TOML writes it."""
    how = draw.randrange(4)
    if how == 0:
        return draw.choice(LITERALS)
    if how == 1:
        return repr(odd.number(draw))
    return json.dumps(odd.text(draw), ensure_ascii=how == 2)


def spoilt(draw: Random, text: str) -> str:
    """The text with one change."""
    pairs = list(PAIR.finditer(text))
    how = draw.randrange(10)
    if how < 6 and pairs:
        return _pair(draw, text, pairs, draw.choice(pairs))
    return _lines(draw, text) if how < 9 else _blocks(draw, text)


def _pair(draw: Random, text: str, pairs: list[re.Match[str]], at: re.Match[str]) -> str:
    """One key and its value: another value, one from elsewhere, another key, a number a little off, the pair twice."""
    key, equals, value = at.groups()
    other = draw.choice(pairs)
    how = draw.randrange(8)
    if how < 2:
        value = literal(draw)
    elif how == 2:
        value = other[3]
    elif how == 3:
        key = draw.choice((other[1], key[:-1], key.upper(), '""', f'"{odd.pestered(draw, key)}"', f"{key}.x"))
    elif how == 4:
        return f"{text[: at.start()]}{at[0]}, {text[at.start() :]}"
    elif how == 5:
        value = json.dumps(odd.pestered(draw, value.strip("\"'")), ensure_ascii=False)
    else:
        value = re.sub(r"\d+", lambda found: _near(draw, found[0]), value, count=1)
    return text[: at.start()] + key + equals + value + text[at.end() :]


def _near(draw: Random, digits: str) -> str:
    """A whole number a little or far off."""
    off = draw.choice((1, -1, 2, -2, 10, 100))
    how = draw.randrange(3)
    return (
        str(int(digits[:20]) + off)
        if how == 0
        else digits + "0" * draw.choice((1, 2, 6))
        if how == 1
        else f"0.{digits}"
    )


def _lines(draw: Random, text: str) -> str:
    lines = text.splitlines(keepends=True) or [""]
    at, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    how = draw.randrange(6)
    if how == 0:
        del lines[at]
    elif how == 1:
        lines.insert(other, lines[at])
    elif how == 2:
        lines[at], lines[other] = lines[other], lines[at]
    elif how == 3:
        lines[at] = odd.pestered(draw, lines[at])
    elif how == 4:
        lines.insert(
            at,
            draw.choice(
                ("[loom]\n", "[[loom]]\n", "[weights]\n", "[a.b.c]\n", "x = 1\n", "[[x]]\n", "loom = 3\n", "\x00\n")
            ),
        )
    else:
        lines[at] = draw.choice(
            (lines[at].replace("[[", "[").replace("]]", "]"), "# " + lines[at], lines[at].rstrip("\n"))
        )
    return "".join(lines)


def _blocks(draw: Random, text: str) -> str:
    """A whole table gone, doubled, or in another place."""
    blocks = BLOCK.split(text)
    at, other = draw.randrange(len(blocks)), draw.randrange(len(blocks))
    how = draw.randrange(4)
    if how == 0:
        del blocks[at]
    elif how == 1:
        blocks.insert(other, blocks[at])
    elif how == 2:
        blocks[at], blocks[other] = blocks[other], blocks[at]
    else:
        blocks[at] *= draw.choice((2, 30))
    return "".join(blocks)

"""Where in a TOML text a path stands: the line that an error names."""

import re
from typing import Any


def line_in(text: str, path: tuple[Any, ...]) -> int | None:
    """The line (from 1) where a path stands in a TOML text: its key, else the table above it; None if unsure."""
    if not text or not path:
        return None
    table, index = str(path[0]), path[1] if len(path) > 1 and isinstance(path[1], int) else None
    keys = [s for s in path[(2 if index is not None else 1) :] if isinstance(s, str)]
    seen, start, end = -1, None, None
    lines = text.splitlines()
    for n, line in enumerate(lines, 1):
        head = re.match(r"\s*\[\[?\s*([\w-]+)(?:\.[\w.-]+)?\s*\]\]?", line)
        if start and end is None and head and (head[1] != table or line.lstrip().startswith("[[")):
            end = n
        if head and head[1] == table and (line.lstrip().startswith("[[" + table) or index is None):
            seen += 1
            start = n if start is None and (index is None or seen == index) else start
    if start is None:
        return next((n for n, line in enumerate(lines, 1) if re.match(rf"\s*{re.escape(table)}\s*[=.]", line)), None)
    for key in reversed(keys):
        for n in range(start, end or len(lines) + 1):
            if re.search(rf'(?:^|[\s{{,."\[])"?{re.escape(key)}"?\s*=', lines[n - 1].split("#")[0]) or re.match(
                rf"\s*\[+[\w.]*\.{re.escape(key)}\s*\]", lines[n - 1]
            ):
                return n
    return start

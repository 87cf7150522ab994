"""Names of files as they are typed: what an option that wants one would take by mistake is no name."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer


def file_name(field: str) -> Callable[[str], Path]:
    """A reader for the option of that field: nothing, "-" or the next option raises InputError, `./-x` is a file."""

    def read(text: str) -> Path:
        from catalog.errors import bad_word

        if isinstance(text, str) and (not text or text.startswith("-")):
            hint = f"a file that is called so: ./{text}" if text else ""
            raise bad_word(field, text or None, "the name of a file", hint)
        return Path(text)

    return read


KitFile = Annotated[
    Path | None, typer.Option("--kit", metavar="FILE", help="The kit; else kit.toml here.", parser=file_name("kit"))
]

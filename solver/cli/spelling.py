"""How the command line spells the words of an ask."""

NO_OPTION = {"item": "ITEM", "report": "REPORT", "file": "FILE"}


def as_option(field: str) -> str:
    """A word as it is typed here: "girth_within" → "--girth-within"."""
    return NO_OPTION.get(field) or "--" + field.replace("_", "-")

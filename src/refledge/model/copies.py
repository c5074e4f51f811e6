"""Names of single copies of parts, such as ``arm 3``."""


def kind_of(copy: str) -> str:
    """``arm`` of ``arm 3``."""
    return copy.split(maxsplit=1)[0]

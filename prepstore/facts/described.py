"""How a field of a fact describes its column."""

from dataclasses import MISSING, field
from typing import Any


def column(
    about: str,
    example: str = "",
    *,
    default: Any = MISSING,  # noqa: ANN401 - as dataclasses.field
    where_used: bool = False,
    required: bool = False,
) -> Any:  # noqa: ANN401 - as dataclasses.field
    """Describe a column: what it holds, an example, and what a blank cell means.

    One that is written only `where_used` is left out of a table in which no row has it. One that
    is `required` though it has a default must be given in what is loaded; older stores lack it.
    """
    about_it = {
        "about": about,
        "example": example,
        "where_used": where_used,
        "required": required or default is MISSING,
    }
    return field(default=default, metadata=about_it)

"""The data files of this room: tables whose last column says where each row comes from."""

import csv
from functools import cache
from importlib.resources import files


@cache
def rows_of(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a data file beside this module, cells by column.

    Args:
        name: As `hazard_statements.csv`.
    """
    text = (files("prepstore.safety") / name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))

"""The store that a command works on."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import typer

from prepstore.ledger.place import Place, place_of

DEFAULT: Final = place_of("prepstore.db")
"""The store of who names none."""


@dataclass(frozen=True, slots=True)
class Store:
    """Where the store is, as `--db` or `PREPSTORE_DB` says."""

    place: Place


def refuse_no_file(path: Path) -> None:
    """Refuse a path without a file's name, such as a blank one, a full stop or a slash.

    Raises:
        typer.BadParameter: It is one.
    """
    if path.name in ("", ".", ".."):
        raise typer.BadParameter(
            f"'{path}' is not a file. Give the name of one, such as prepstore.db."
        )

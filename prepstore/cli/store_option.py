"""The store that a command works on."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import typer

from prepstore.ledger.place import IS_AN_ADDRESS, Place, place_of

DEFAULT: Final = place_of("prepstore.db")
"""The store of who names none."""


@dataclass(frozen=True, slots=True)
class Store:
    """Where the store is, as `--db` or `PREPSTORE_DB` says."""

    place: Place


def refuse_no_file(path: Place) -> None:
    """Refuse a path without a file's name, such as a blank one, a full stop or a slash.

    Raises:
        typer.BadParameter: It is one.
    """
    if path.name in ("", ".", ".."):
        raise typer.BadParameter(
            f"'{path}' is not a file. Give the name of one, such as prepstore.db."
        )


def refuse_a_server(path: Path) -> None:
    """Refuse the address of a server where a file is to be named.

    Raises:
        typer.BadParameter: It is one; it is not repeated, since it may hold a password.
    """
    if IS_AN_ADDRESS.match(str(path)):
        raise typer.BadParameter("A server's address is no file. Give the name of a file.")

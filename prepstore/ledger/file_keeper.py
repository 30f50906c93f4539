"""Stores in a file, kept by SQLite."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection

from prepstore.ledger.keeper import Look, Result
from prepstore.ledger.store_file import reading, writing


@dataclass(frozen=True, slots=True)
class FileKeeper:
    """Keeps the store of one file; it is a `Keeper`."""

    path: Path

    def is_there(self) -> bool:
        """Return whether the file is there."""
        return self.path.exists()

    def reading(self) -> AbstractContextManager[Connection]:
        """Open the file to read it."""
        return reading(self.path)

    def writing(self) -> AbstractContextManager[Connection]:
        """Open the file, made if need be, for one transaction."""
        return writing(self.path)

    def all_or_nothing(
        self, act: Callable[[Connection], Result], *, may_make: bool = True
    ) -> Result:
        """Do something in one transaction; others wait meanwhile, so that it is done once."""
        if not may_make:
            with self.reading():
                pass
        with writing(self.path) as connection:
            return act(connection)

    def back_up(self, file: Path) -> Path | None:
        """Copy the store's file to another."""
        from prepstore.ledger.copies import back_up  # noqa: PLC0415 - of two commands alone

        return back_up(self.path, file)

    def restore(self, file: Path, look: Look) -> Path | None:
        """Put a backup in place of the store's file."""
        from prepstore.ledger.copies import restore  # noqa: PLC0415 - of two commands alone

        return restore(self.path, file, look)

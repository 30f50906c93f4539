"""What each database that keeps stores can do: the seam between it and all the rest."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Protocol, TypeVar

from sqlalchemy import Connection

Result = TypeVar("Result")

Look = Callable[[Connection], None]
"""What looks at a copy before anything is changed, and raises to refuse it."""


class Keeper(Protocol):
    """Keeps the store of one place.

    Whatever goes wrong with the store is raised as a `StoreError`, a sentence for a technician.
    """

    def is_there(self) -> bool:
        """Return whether there is a store, or anything else in its place."""
        ...

    def reading(self) -> AbstractContextManager[Connection]:
        """Open the store to read it, in one state however long that takes."""
        ...

    def writing(self) -> AbstractContextManager[Connection]:
        """Open the store, made if need be, for one transaction: all of it or nothing is kept."""
        ...

    def all_or_nothing(
        self, act: Callable[[Connection], Result], *, may_make: bool = True
    ) -> Result:
        """Do something in one transaction, and again where somebody else came in between.

        Where there is no store, one is made, or with `may_make` not it is refused.
        """
        ...


class Checks(Protocol):
    """Finds what is wrong with an open store, beside what is wrong with what it says."""

    @property
    def KEPT_IN(self) -> str:  # noqa: N802 - a module has it as a constant
        """Return what a sentence calls that which keeps the store."""
        ...

    @property
    def GO_BACK(self) -> str:  # noqa: N802
        """Return what a sentence advises where something is wrong."""
        ...

    def damage_of(self, connection: Connection, /) -> list[str]:
        """Return what the database's own check finds wrong; empty if nothing."""
        ...

    def broken_references(self, connection: Connection, /) -> list[tuple[str, str]]:
        """Return table and table for each row that refers to one that is not there."""
        ...

    def strange_parts(self, connection: Connection, /) -> list[str]:
        """Return tables, indexes and triggers that are not as the schema's steps make them."""
        ...

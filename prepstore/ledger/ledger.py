"""What a schema step speaks to."""

from collections.abc import Iterable, Sequence
from typing import Any, Protocol


class Ledger(Protocol):
    """A connection that runs one statement and gives back its rows."""

    def execute(self, statement: str, values: Sequence[Any] = (), /) -> Iterable[Sequence[Any]]:
        """Run a statement."""
        ...
